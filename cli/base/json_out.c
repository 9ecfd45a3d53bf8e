#include "base/json_out.h"

#include <errno.h>
#include <math.h>

#include "base/tree_node.h"

enum { PRINTED_DIGITS = 12 };

static json_t *checked(struct nxw_json *j, json_t *value)
{
    if (value == NULL)
        j->failed = true;
    return value;
}

json_t *nxw_json_object(struct nxw_json *j) { return checked(j, json_object()); }

json_t *nxw_json_array(struct nxw_json *j) { return checked(j, json_array()); }

void nxw_json_put(struct nxw_json *j, json_t *object, const char *key, json_t *value)
{
    if (object == NULL)
        json_decref(value);
    if (object == NULL || json_object_set_new(object, key, value) != 0)
        j->failed = true;
}

void nxw_json_add(struct nxw_json *j, json_t *array, json_t *value)
{
    if (array == NULL)
        json_decref(value);
    if (array == NULL || json_array_append_new(array, value) != 0)
        j->failed = true;
}

void nxw_json_number(struct nxw_json *j, json_t *object, const char *key, double value)
{
    nxw_json_put(j, object, key, isfinite(value) ? json_real(value) : json_null());
}

void nxw_json_integer(struct nxw_json *j, json_t *object, const char *key, long value)
{
    nxw_json_put(j, object, key, json_integer((json_int_t)value));
}

void nxw_json_text(struct nxw_json *j, json_t *object, const char *key, const char *value)
{
    json_t *text = json_string(value);
    if (text == NULL && !nxw_is_utf8(value)) /* else memory is short */
        text = json_null();
    nxw_json_put(j, object, key, text);
}

void nxw_json_flag(struct nxw_json *j, json_t *object, const char *key, bool value)
{
    nxw_json_put(j, object, key, json_boolean(value));
}

bool nxw_json_print(struct nxw_json *j, FILE *out, json_t *root)
{
    const size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(PRINTED_DIGITS);
    const bool good = !j->failed && json_dumpf(root, out, flags) == 0 && fputc('\n', out) != EOF;
    json_decref(root);
    if (!good && ferror(out) == 0) { /* else main looks at the stream */
        (void)fputs("noxwash: out of memory\n", stderr);
        errno = ENOMEM;
    }
    return good;
}
