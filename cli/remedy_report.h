/* Remedies in words and as JSON: one run, and the advice that all of them come to. */
#ifndef NXW_REMEDY_REPORT_H
#define NXW_REMEDY_REPORT_H

#include <stdio.h>

#include "json_out.h"
#include "remedy.h"

enum { NXW_REMEDY_ADVICE = 600, NXW_REMEDY_MONEY = 200 };

/* One sentence: what to do first, and what best goes with it. */
void nxw_remedies_advice(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE]);

/* Whether the first is surely the first; empty where that was not looked at. */
void nxw_remedies_lead(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE]);

/* Cost against worth of one, in a clause; empty without prices. */
void nxw_remedy_money(const struct nxw_remedy_run *run, const char *currency,
                      char out[NXW_REMEDY_MONEY]);

/* What follows from the prices for all of them; without prices how to give them. */
void nxw_remedies_money(const struct nxw_remedies *all, const struct nxw_case_notes *notes,
                        char out[NXW_REMEDY_ADVICE]);

/* What a run brings, costs and warns of; or why there is none. */
void nxw_remedy_print(FILE *out, const struct nxw_remedies *all, const char *currency,
                      const struct nxw_remedy_run *run);
/* All of them into an object: "alone", "best_pair", "best_triple", "advice". */
void nxw_remedies_json(struct nxw_json *j, json_t *o, const struct nxw_remedies *all);

/* "2.4 %": what escapes, of the nitrogen fed, when so much less escapes than as it is. */
void nxw_remedy_escape_text(const struct nxw_remedies *all, double drop_mol, char *out);

#endif
