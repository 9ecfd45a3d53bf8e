/* Remedies in words and as JSON: one run, and the advice that all of them come to. */
#ifndef NXW_REMEDY_REPORT_H
#define NXW_REMEDY_REPORT_H

#include <stdio.h>

#include "base/json_out.h"
#include "base/text_layout.h"
#include "study/remedy.h"

enum {
    NXW_REMEDY_ADVICE = 2400,
    NXW_REMEDY_MONEY = 200,
    NXW_REMEDY_RISK = 240,
    NXW_REMEDY_GAIN = 3 * NXW_AMOUNT_LENGTH
};

/* What to do first, by the aim, and what best goes with it, each with what it brings that could
 * hurt; or that nothing is worth it. */
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

/* How they are ranked, as part of a heading. */
const char *nxw_remedies_heading(enum nxw_aim aim);

/* "+2.4 g HNO3 (+22 %)" */
void nxw_remedy_gain_text(const struct nxw_remedies *all, double gain_mol,
                          char out[NXW_REMEDY_GAIN]);

/* What more is drawn back with it, as a sentence. */
void nxw_remedy_risk_text(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                          char out[NXW_REMEDY_RISK]);

/* How much more pressure comes with it, as a sentence. */
void nxw_remedy_pressure_text(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                              char out[NXW_REMEDY_RISK]);

/* "2.4 %": what escapes, of the nitrogen fed, when so much less escapes than as it is. */
void nxw_remedy_escape_text(const struct nxw_remedies *all, double drop_mol, char *out);

#endif
