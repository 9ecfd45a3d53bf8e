/* Shared by the files that read a run: its charge, what was put in, what was found, money. */
#ifndef NXW_RUN_READ_H
#define NXW_RUN_READ_H

#include "case/case_read.h"
#include "case/run_file.h"

#define NXW_RUN_ASSUMED_ERROR 0.01 /* 95 of 100; judgement */

/* A quantity of the file above low; false: absent, or a fault. */
bool nxw_run_quantity(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                      enum nxw_dimension dimension, double low, double *out);

/* A fault at a key of the map, or at the map where the key is not there. */
void nxw_run_fault(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                   const char *message);

/* An error as a share ("1 %") of a value: its standard error as a share. */
double nxw_run_share_error(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                           bool *assumed);

void nxw_run_read_charge(struct nxw_reading *r, struct nxw_node *top, bool account,
                         struct nxw_run *run);
void nxw_run_read_put_in(struct nxw_reading *r, struct nxw_node *top, struct nxw_run *run);
void nxw_run_read_cost(struct nxw_reading *r, struct nxw_node *top, struct nxw_run *run);

#endif
