/* Named glass and metals of params/, as embedded in the program; and plain CSV lines. */
#ifndef NXW_CATALOGUE_H
#define NXW_CATALOGUE_H

#include <stdbool.h>
#include <stddef.h>

enum { NXW_CSV_FIELDS_MAX = 16, NXW_CATALOGUE_MAX = 64 };

/*
 * Split one CSV line in place: fields parted by commas, blanks around them cut, no quotes.
 *
 * Returned: how many fields; more than NXW_CSV_FIELDS_MAX are not kept but counted
 */
size_t nxw_csv_split(char *line, char *fields[NXW_CSV_FIELDS_MAX]);

/* Text of an embedded file by its last name, such as "metals.csv"; NULL: none. */
const char *nxw_embedded_text(const char *name, size_t *length);

struct nxw_glass {
    char name[48];
    double volume_m3, inner_diameter_m, wall_thickness_m;
    bool empty; /* a trap without liquid */
};

struct nxw_metal {
    char name[32];
    double valence, molar_mass_kg_mol;
    bool toxic;    /* its salts */
    char harm[48]; /* what they do */
};

/* All records; returns how many. A damaged table gives none. */
size_t nxw_glass_list(struct nxw_glass out[NXW_CATALOGUE_MAX]);
size_t nxw_metal_list(struct nxw_metal out[NXW_CATALOGUE_MAX]);

#endif
