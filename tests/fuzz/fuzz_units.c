/* Numbers and quantities with their units; the first byte chooses what is wanted. */
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "fuzz.h"

static void write_and_read_again(double value, enum nxw_dimension dimension,
                                 const struct nxw_unit *unit)
{
    char text[96], message[NXW_MESSAGE_LENGTH];
    double again = NAN;
    nxw_quantity_write(value, unit->text, dimension, text, sizeof text);
    MUST(nxw_quantity_read(text, dimension, &again, message));
    MUST(fabs(again - value) <= 1e-12 * fabs(value) + 1e-300);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    char *text = nxw_fuzz_text(data + 1, size - 1), message[NXW_MESSAGE_LENGTH] = "";
    const unsigned which = data[0] % (NXW_DIM_COUNT + 2u);
    const struct nxw_unit *unit = NULL;
    double value = NAN;
    bool good;
    if (which == NXW_DIM_COUNT)
        good = nxw_peroxide_read(text, &value, message);
    else if (which == NXW_DIM_COUNT + 1u)
        good = nxw_acid_strength_read(text, 293.15, &value, message);
    else if (which == NXW_DIM_NUMBER)
        good = nxw_number_read(text, &value, message);
    else if (which == NXW_DIM_PEROXIDE || which == NXW_DIM_ACID_STRENGTH)
        good = false, message[0] = '-'; /* have readers of their own */
    else
        good = nxw_quantity_read_unit(text, (enum nxw_dimension)which, &value, &unit, message);
    MUST(good == (isfinite(value) != 0));
    MUST(good || (message[0] != '\0' && strlen(message) < NXW_MESSAGE_LENGTH));
    if (good && unit != NULL)
        write_and_read_again(value, (enum nxw_dimension)which, unit);
    free(text);
    return 0;
}
