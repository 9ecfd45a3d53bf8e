/* The prices of a case: "3.50 per L", "3.50 EUR/L"; the currency is only a label. */
#include <stdio.h>
#include <string.h>

#include "case/case_read.h"

const char *const nxw_price_words[NXW_PRICE_COUNT] = {"peroxide", "ice",         "water",
                                                      "energy",   "bought acid", "disposal"};
const char *const nxw_price_basis_words[3] = {"kg", "L", "kWh"};

#define KG_OR_LITRE (1u << NXW_PER_KG | 1u << NXW_PER_LITRE)
static const struct {
    unsigned bases;
    const char *wanted;
} ACCEPTED[NXW_PRICE_COUNT] = {
    [NXW_PRICE_PEROXIDE] = {KG_OR_LITRE, "per kg or per L"},
    [NXW_PRICE_ICE] = {1u << NXW_PER_KG, "per kg"},
    [NXW_PRICE_WATER] = {KG_OR_LITRE, "per kg or per L"},
    [NXW_PRICE_ENERGY] = {1u << NXW_PER_KWH, "per kWh"},
    [NXW_PRICE_BOUGHT_ACID] = {KG_OR_LITRE, "per kg or per L"},
    [NXW_PRICE_DISPOSAL] = {1u << NXW_PER_LITRE, "per L"},
};

/* Cut "3.50 EUR per L" into number, currency (may be empty) and basis. */
static bool split_price(char *text, char **currency, char **basis)
{
    char *per = strstr(text, " per ");
    if (per != NULL)
        *basis = per + 5;
    else if ((per = strchr(text, '/')) != NULL)
        *basis = per + 1;
    else
        return false;
    *per = '\0';
    while (**basis == ' ')
        (*basis)++;
    size_t n = strlen(text);
    while (n > 0 && text[n - 1] == ' ')
        text[--n] = '\0';
    char *blank = strchr(text, ' ');
    if (blank != NULL)
        *blank = '\0';
    *currency = blank != NULL ? blank + 1 : text + n;
    return true;
}

static void read_price(struct nxw_reading *r, const struct nxw_node *map, size_t kind)
{
    const char *key = nxw_price_words[kind];
    const char *given = nxw_read_text(r, map, key);
    if (given == NULL)
        return;
    const struct nxw_node *node = nxw_tree_get(map, key);
    char text[64], *currency = NULL, *basis = NULL, message[NXW_MESSAGE_LENGTH] = "";
    (void)snprintf(text, sizeof text, "%.63s", given);
    double amount = 0.0;
    bool good = split_price(text, &currency, &basis) && nxw_number_read(text, &amount, message);
    size_t found = 3;
    for (size_t i = 0; good && i < 3; i++)
        if (strcmp(basis, nxw_price_basis_words[i]) == 0 && (ACCEPTED[kind].bases >> i & 1u))
            found = i;
    if (!good || found == 3 || amount < 0.0) {
        nxw_fault_add(r->faults, node->line, node->column,
                      "'%s: %.40s' is no price; write such as '3.50 per %s' (%s)", key, given,
                      strrchr(ACCEPTED[kind].wanted, ' ') + 1, ACCEPTED[kind].wanted);
        return;
    }
    char *label = r->notes->currency;
    if (strlen(currency) >= sizeof r->notes->currency)
        nxw_fault_add(r->faults, node->line, node->column,
                      "the currency of '%s' is longer than 15 bytes", key);
    else if (currency[0] != '\0' && label[0] != '\0' && strcmp(currency, label) != 0)
        nxw_fault_add(r->faults, node->line, node->column,
                      "the currency '%s' differs from '%s'; one is wanted", currency, label);
    else if (currency[0] != '\0')
        memcpy(label, currency, strlen(currency) + 1);
    r->notes->prices[kind] = (struct nxw_price){true, amount, (enum nxw_price_basis)found};
}

void nxw_read_prices(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_node *map = nxw_read_map(r, top, "prices");
    if (map == NULL)
        return;
    const char *known[NXW_PRICE_COUNT + 1];
    memcpy(known, nxw_price_words, sizeof nxw_price_words);
    known[NXW_PRICE_COUNT] = "currency";
    nxw_check_keys(r, map, NULL, known, NXW_PRICE_COUNT + 1);
    (void)nxw_read_label(r, map, "currency", r->notes->currency, sizeof r->notes->currency);
    for (size_t i = 0; i < NXW_PRICE_COUNT; i++)
        read_price(r, map, i);
}
