/* Building JSON so that a failure anywhere is seen once, at the end. */
#ifndef NXW_JSON_OUT_H
#define NXW_JSON_OUT_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

struct nxw_json {
    bool failed;
};

json_t *nxw_json_object(struct nxw_json *j);
json_t *nxw_json_array(struct nxw_json *j);
/* All put functions take the value, also on failure. */
void nxw_json_put(struct nxw_json *j, json_t *object, const char *key, json_t *value);
void nxw_json_add(struct nxw_json *j, json_t *array, json_t *value);
/* What is not finite becomes null: no value. */
void nxw_json_number(struct nxw_json *j, json_t *object, const char *key, double value);
void nxw_json_integer(struct nxw_json *j, json_t *object, const char *key, long value);
/* What is not UTF-8 becomes null. */
void nxw_json_text(struct nxw_json *j, json_t *object, const char *key, const char *value);
void nxw_json_flag(struct nxw_json *j, json_t *object, const char *key, bool value);

/* Print and release; false when anything failed (errno ENOMEM: memory). */
bool nxw_json_print(struct nxw_json *j, FILE *out, json_t *root);

#endif
