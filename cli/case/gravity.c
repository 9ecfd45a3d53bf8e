#include "case/gravity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ISO_GLASS_1_K 25e-6     /* ISO 1768:1975 */
#define HYDROMETER_K 293.15     /* made for 20 degC; common practice, no source */
#define DENSITY_ERROR_KG_M3 1.0 /* 95 of 100: one division of a common hydrometer */
#define GRAVITY_ERROR 0.001
#define BAUME_ERROR 0.2
#define TEMPERATURE_ERROR_K 0.5

static bool refuse(char *message, const char *text)
{
    (void)snprintf(message, NXW_MESSAGE_LENGTH, "%s", text);
    return false;
}

static bool fault(const char **key, const char *which, char *message, const char *text)
{
    *key = which;
    return text != NULL ? refuse(message, text) : false;
}

bool nxw_kelvin_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH])
{
    double got;
    const struct nxw_unit *unit;
    if (!nxw_quantity_read_unit(text, NXW_DIM_TEMPERATURE, &got, &unit, message))
        return false;
    *value = got - unit->offset;
    return true;
}

/* The number before end, in degC or, with fahrenheit, in F: K. */
static bool scale_degree(const char *start, const char *end, bool fahrenheit, double *K)
{
    char copy[16], message[NXW_MESSAGE_LENGTH];
    const size_t n = (size_t)(end - start);
    if (n >= sizeof copy)
        return false;
    memcpy(copy, start, n);
    copy[n] = '\0';
    double degree;
    if (!nxw_number_read(copy, &degree, message))
        return false;
    *K = (fahrenheit ? (degree - 32.0) / 1.8 : degree) + 273.15;
    return nxw_within(K, 273.15, 313.15);
}

bool nxw_gravity_scale_read(const char *text, double *liquid_K, double *water_K,
                            char message[NXW_MESSAGE_LENGTH])
{
    static const char wanted[] =
        "a scale is two temperatures, of the liquid and of the water, 0 to 40 degC: such as 20/4, "
        "20/20, 15/4 (degC) or '60/60 F'";
    const char *slash = strchr(text, '/');
    size_t n = strlen(text);
    const bool fahrenheit = n > 0 && text[n - 1] == 'F';
    if (fahrenheit)
        n--;
    while (n > 0 && text[n - 1] == ' ')
        n--;
    if (slash == NULL || slash >= text + n || !scale_degree(text, slash, fahrenheit, liquid_K) ||
        !scale_degree(slash + 1, text + n, fahrenheit, water_K))
        return refuse(message, wanted);
    return true;
}

/* The scale that goes with a modulus; false: it has to be stated. Source: from memory. */
static bool scale_of_modulus(double modulus, const char **scale)
{
    if (fabs(modulus - 145.0) < 1e-9)
        *scale = "60/60 F";
    else if (fabs(modulus - 144.3) < 1e-9)
        *scale = "15/15";
    else
        return false;
    return true;
}

static bool read_density(const struct nxw_gravity_text *t, struct nxw_gravity *out,
                         const char **key, char *message)
{
    if (!nxw_quantity_read(t->density, NXW_DIM_DENSITY, &out->shown, message))
        return fault(key, "density", message, NULL);
    if (t->scale != NULL || t->modulus != NULL)
        return fault(key, t->scale != NULL ? "scale" : "modulus", message,
                     "a density in g/cm3 needs none; is the reading a specific gravity or "
                     "degrees Baume?");
    out->reading_kg_m3 = out->shown;
    out->reference_K = HYDROMETER_K;
    if (t->hydrometer != NULL &&
        !nxw_quantity_read(t->hydrometer, NXW_DIM_TEMPERATURE, &out->reference_K, message))
        return fault(key, "hydrometer", message, NULL);
    if (!nxw_within(&out->reference_K, 273.15, 313.15))
        return fault(key, "hydrometer", message,
                     "the temperature a hydrometer was made for lies between 0 and 40 degC; it "
                     "stands on its paper");
    return true;
}

/* Specific gravity and Baume: both are readings on a scale t1/t2. */
static bool read_specific(const struct nxw_gravity_text *t, struct nxw_gravity *out,
                          const char **key, char *message)
{
    const char *scale = t->scale;
    if (out->kind == NXW_GRAVITY_SPECIFIC) {
        if (!nxw_number_read(t->gravity, &out->shown, message))
            return fault(key, "gravity", message, NULL);
        if (t->modulus != NULL)
            return fault(key, "modulus", message, "a modulus goes with degrees Baume only");
        if (scale == NULL)
            return fault(key, "gravity", message,
                         "specific gravity says nothing without its scale; give it, as it stands "
                         "on the hydrometer: 20/4, 20/20, 15/4 (degC) or '60/60 F'");
        out->specific = out->shown;
    } else {
        if (!nxw_number_read(t->baume, &out->shown, message))
            return fault(key, "baume", message, NULL);
        if (t->modulus == NULL)
            return fault(key, "baume", message,
                         "degrees Baume say nothing without the modulus; give it: 145 (United "
                         "States, 60/60 F), 144.3 (Europe, 15/15), 144 (old Dutch) or 146.78 "
                         "(Gerlach)");
        if (!nxw_number_read(t->modulus, &out->modulus, message))
            return fault(key, "modulus", message, NULL);
        if (!(out->modulus >= 140.0 && out->modulus <= 150.0))
            return fault(key, "modulus", message,
                         "a modulus for heavy liquids lies between 140 "
                         "and 150");
        if (scale == NULL && !scale_of_modulus(out->modulus, &scale))
            return fault(key, "modulus", message,
                         "only 145 and 144.3 bring their temperatures with them; give the scale "
                         "too, such as 15/15");
        if (!(out->shown >= 0.0 && out->shown < 75.0))
            return fault(key, "baume", message, "heavy degrees Baume lie between 0 and 75");
        out->specific = out->modulus / (out->modulus - out->shown);
    }
    if (t->hydrometer != NULL)
        return fault(key, "hydrometer", message,
                     "the scale already says for which temperature the hydrometer was made");
    if (!nxw_gravity_scale_read(scale, &out->liquid_K, &out->water_K, message))
        return fault(key, "scale", message, NULL);
    out->reference_K = out->liquid_K;
    out->reading_kg_m3 = out->specific * nxw_pure_water_density_kg_m3(out->water_K);
    return true;
}

static bool read_glass(const struct nxw_gravity_text *t, struct nxw_gravity *out, const char **key,
                       char *message)
{
    out->glass = t->glass == NULL || strcmp(t->glass, "none") != 0;
    out->expansion_1_K = out->glass ? ISO_GLASS_1_K : 0.0;
    if (t->glass == NULL || !out->glass)
        return true;
    if (!nxw_quantity_read(t->glass, NXW_DIM_EXPANSION, &out->expansion_1_K, message))
        return fault(key, "glass", message, NULL);
    if (!nxw_within(&out->expansion_1_K, 0.0, 1e-3))
        return fault(key, "glass", message,
                     "cubic expansion of glass is some '25e-6 per K'; 'none' for an instrument "
                     "that shows the true density");
    return true;
}

static bool read_errors(const struct nxw_gravity_text *t, struct nxw_gravity *out, const char **key,
                        char *message)
{
    static const double assumed[] = {DENSITY_ERROR_KG_M3, GRAVITY_ERROR, BAUME_ERROR};
    const bool density = out->kind == NXW_GRAVITY_DENSITY;
    out->shown_error = assumed[out->kind];
    out->shown_error_assumed = t->reading_error == NULL;
    if (t->reading_error != NULL &&
        !nxw_quantity_read(t->reading_error, density ? NXW_DIM_DENSITY : NXW_DIM_NUMBER,
                           &out->shown_error, message))
        return fault(key, "reading error", message, NULL);
    double temperature_error_K = TEMPERATURE_ERROR_K;
    out->temperature_error_assumed = t->temperature_error == NULL;
    if (t->temperature_error != NULL &&
        !nxw_kelvin_read(t->temperature_error, &temperature_error_K, message))
        return fault(key, "temperature error", message, NULL);
    if (!(out->shown_error >= 0.0) || !(temperature_error_K >= 0.0))
        return fault(key, out->shown_error >= 0.0 ? "temperature error" : "reading error", message,
                     "an error is 0 or more");
    /* d(reading)/d(shown): 1, water's density, or that of m/(m - Be) */
    double slope = 1.0;
    if (out->kind == NXW_GRAVITY_SPECIFIC)
        slope = out->reading_kg_m3 / out->specific;
    if (out->kind == NXW_GRAVITY_BAUME)
        slope = out->reading_kg_m3 / (out->modulus - out->shown);
    out->reading.density_error_kg_m3 = slope * out->shown_error / NXW_OF_100_95;
    out->reading.temperature_error_K = temperature_error_K / NXW_OF_100_95;
    return true;
}

static bool read_kind(const struct nxw_gravity_text *t, struct nxw_gravity *out, const char **key,
                      char *message)
{
    const int given = (t->density != NULL) + (t->gravity != NULL) + (t->baume != NULL);
    if (given != 1)
        return fault(key, "density", message,
                     given == 0 ? "a reading is missing: give density, gravity or baume"
                                : "give one reading: density, gravity or baume");
    out->kind = t->density != NULL   ? NXW_GRAVITY_DENSITY
                : t->gravity != NULL ? NXW_GRAVITY_SPECIFIC
                                     : NXW_GRAVITY_BAUME;
    return true;
}

bool nxw_gravity_read(const struct nxw_gravity_text *text, struct nxw_gravity *out,
                      const char **key, char message[NXW_MESSAGE_LENGTH])
{
    *out = (struct nxw_gravity){0};
    *key = "density";
    message[0] = '\0';
    if (!read_kind(text, out, key, message))
        return false;
    if (!(out->kind == NXW_GRAVITY_DENSITY ? read_density(text, out, key, message)
                                           : read_specific(text, out, key, message)))
        return false;
    if (!(out->reading_kg_m3 >= 800.0 && out->reading_kg_m3 <= 1700.0)) {
        *key = out->kind == NXW_GRAVITY_DENSITY    ? "density"
               : out->kind == NXW_GRAVITY_SPECIFIC ? "gravity"
                                                   : "baume";
        return refuse(message,
                      "nitric acid weighs between 0.95 and 1.55 g/cm3; is the unit right?");
    }
    if (text->temperature == NULL)
        return fault(key, "temperature", message,
                     "the temperature of the liquid is missing; 5 K of error is up to 1 wt%");
    double temperature_K;
    if (!nxw_quantity_read(text->temperature, NXW_DIM_TEMPERATURE, &temperature_K, message))
        return fault(key, "temperature", message, NULL);
    if (!read_glass(text, out, key, message) || !read_errors(text, out, key, message))
        return false;
    out->reading.temperature_K = temperature_K;
    out->reading.density_kg_m3 = nxw_hydrometer_density_kg_m3(out->reading_kg_m3, temperature_K,
                                                              out->reference_K, out->expansion_1_K);
    return true;
}

double nxw_gravity_shown(const struct nxw_gravity *like, double density_kg_m3, double temperature_K)
{
    const double reading_kg_m3 = nxw_hydrometer_reading_kg_m3(
        density_kg_m3, temperature_K, like->reference_K, like->expansion_1_K);
    if (like->kind == NXW_GRAVITY_DENSITY)
        return reading_kg_m3;
    const double specific = reading_kg_m3 / nxw_pure_water_density_kg_m3(like->water_K);
    return like->kind == NXW_GRAVITY_SPECIFIC ? specific : like->modulus - like->modulus / specific;
}

double nxw_common_hydrometer_kg_m3(double density_kg_m3, double temperature_K)
{
    return nxw_hydrometer_reading_kg_m3(density_kg_m3, temperature_K, HYDROMETER_K, ISO_GLASS_1_K);
}
