#include "case/case_fields.h"

#include "noxwash.h"

const char *const nxw_words_source[4] = {"acid vapour", "metal", "metered", "table"};
const char *const nxw_words_shape[3] = {"steady", "rise and fall", "file"};
const char *const nxw_words_gas[4] = {"none", "air", "nitrogen", "oxygen"};
const char *const nxw_words_stage[2] = {"bottle", "empty"};
const char *const nxw_words_tip[4] = {"open tube", "holes", "frit", "bubble diameter"};
const char *const nxw_words_bath[3] = {"air", "water", "ice water"};
const char *const nxw_words_aim[2] = {"clean air", "acid"};

/* Upper pore sizes of the grades POR 0 to 4: common practice, from memory. */
const double nxw_frit_pore_m[NXW_FRIT_GRADES] = {250e-6, 160e-6, 100e-6, 40e-6, 16e-6};

#define SECTION(name)                                                                              \
    const struct nxw_section nxw_fields_##name = {(name), sizeof(name) / sizeof((name)[0])}
#define KIND(x) (1u << (x))
#define ACID KIND(NXW_SOURCE_ACID_VAPOUR)
#define METERED KIND(NXW_SOURCE_METERED)
#define NOT_TABLE (ACID | KIND(NXW_SOURCE_METAL) | METERED)
#define S(member) offsetof(struct nxw_source, member)
#define C(member) offsetof(struct nxw_carrier, member)
#define B(member) offsetof(struct nxw_stage, member)
#define W(member) offsetof(struct nxw_case, member)
#define FROM NXW_FROM_LOW
#define ABOVE NXW_ABOVE_LOW

/* The bounds are those of nxw_case_check, told at the key and in its unit; a test compares. */
/* clang-format off */
static const struct nxw_field source[] = {
    {"acid made", NXW_DIM_ACID_AMOUNT, S(acid_made_mol), ABOVE, 0.0, 1000.0, "mol", ACID,
     "nitric acid the run makes in all"},
    {"decomposed", NXW_DIM_SHARE, S(decomposed_fraction), FROM, 0.0, 1.0, "%", ACID,
     "share of it that is lost as brown gas"},
    {"condenser temperature", NXW_DIM_TEMPERATURE, S(condenser_temperature_K), FROM, 263.15,
     343.15, "degC", ACID, "gas leaves the condenser with this temperature's vapour"},
    {"condensate", NXW_DIM_MASS_FRACTION, S(condensate_mass_fraction), FROM, 0.5, 0.7, "wt%",
     ACID, "nitric acid in what the receiver condenses"},
    {"flow", NXW_DIM_GAS_FLOW, S(flow_mol_s), ABOVE, 0.0, 0.1, "L/min", METERED,
     "counted at 20 degC and 1 atm"},
    {"NO2", NXW_DIM_VOLUME_FRACTION, S(NO2_fraction), FROM, 0.0, 1.0, "% by volume", METERED,
     "molecules counted as NO2; the rest is inert"},
    {"NO", NXW_DIM_VOLUME_FRACTION, S(NO_fraction), FROM, 0.0, 1.0, "% by volume", METERED, ""},
    {"O2", NXW_DIM_VOLUME_FRACTION, S(O2_fraction), FROM, 0.0, 1.0, "% by volume", METERED, ""},
    {"duration", NXW_DIM_TIME, S(duration_s), FROM, 0.1, 172800.0, "min", NOT_TABLE, ""},
    {"temperature", NXW_DIM_TEMPERATURE, S(temperature_K), FROM, 263.15, 423.15, "degC", 0,
     "of the gas at the tip"},
};
SECTION(source);

static const struct nxw_field carrier[] = {
    {"flow", NXW_DIM_GAS_FLOW, C(flow_mol_s), FROM, 0.0, 0.1, "L/min", 0,
     "counted at 20 degC and 1 atm"},
    {"from", NXW_DIM_TIME, C(from_s), FROM, 0.0, 3.1536e7, "min", 0, ""},
    {"until", NXW_DIM_TIME, C(until_s), ABOVE, 0.0, 3.1536e7, "min", 0, ""},
};
SECTION(carrier);

static const struct nxw_field stage[] = {
    {"volume", NXW_DIM_VOLUME, B(volume_m3), FROM, 5e-6, 0.02, "mL", 0, "whole inside volume"},
    {"inner diameter", NXW_DIM_LENGTH, B(inner_diameter_m), FROM, 0.005, 0.5, "mm", 0, ""},
    {"wall thickness", NXW_DIM_LENGTH, B(wall_thickness_m), FROM, 0.0005, 0.02, "mm", 0, ""},
    {"liquid", NXW_DIM_VOLUME, B(liquid_m3), FROM, 1e-6, 0.019, "mL", KIND(NXW_STAGE_BOTTLE), ""},
    {"acid", NXW_DIM_MASS_FRACTION, B(acid_mass_fraction), FROM, 0.0, 0.6, "wt%",
     KIND(NXW_STAGE_BOTTLE), "nitric acid already in the charge"},
    {"strong acid", NXW_DIM_CONCENTRATION, B(strong_acid_mol_m3), FROM, 0.0, 2e4, "mol/L",
     KIND(NXW_STAGE_BOTTLE), "other one-proton strong acid in the charge"},
    {"temperature", NXW_DIM_TEMPERATURE, B(liquid_temperature_K), FROM, 263.15, 343.15, "degC",
     KIND(NXW_STAGE_BOTTLE), "of the charge; left out: the bath's"},
};
SECTION(stage);

static const struct nxw_field tip[] = {
    {"bore", NXW_DIM_LENGTH, B(bore_m), FROM, 1e-6, 0.05, "mm",
     KIND(NXW_TIP_OPEN_TUBE) | KIND(NXW_TIP_HOLES) | KIND(NXW_TIP_FRIT),
     "of the tube or of a hole; of a frit its largest pore"},
    {"holes", NXW_DIM_NUMBER, B(holes), FROM, 1.0, 1000.0, "", KIND(NXW_TIP_HOLES), ""},
    {"diameter", NXW_DIM_LENGTH, B(frit_diameter_m), FROM, 0.001, 0.5, "mm", KIND(NXW_TIP_FRIT),
     "of the frit"},
    {"bubble diameter", NXW_DIM_LENGTH, B(bubble_diameter_m), FROM, 0.0003, 0.03, "mm",
     KIND(NXW_TIP_BUBBLE_DIAMETER), ""},
    {"clearance", NXW_DIM_LENGTH, B(tip_clearance_m), FROM, 0.0, 1.0, "mm", 0,
     "height of the tip above the bottom"},
    {"depth", NXW_DIM_LENGTH, B(depth_m), FROM, 0.0, 1.0, "mm", 0,
     "fixed depth of the tip; left out: from the level and the clearance"},
};
SECTION(tip);

static const struct nxw_field bath[] = {
    {"temperature", NXW_DIM_TEMPERATURE, B(bath_temperature_K), FROM, 263.15, 343.15, "degC", 0,
     ""},
    {"ice", NXW_DIM_MASS, B(ice_kg), FROM, 0.0, 50.0, "g", KIND(NXW_BATH_ICE_WATER), ""},
    {"water", NXW_DIM_MASS, B(bath_water_kg), FROM, 0.0, 1e4, "g", KIND(NXW_BATH_ICE_WATER),
     "in the bath at the start"},
    {"UA", NXW_DIM_CONDUCTANCE, B(UA_W_K), FROM, 0.0, 1000.0, "W/K", 0,
     "left out: from films and glass"},
};
SECTION(bath);

static const struct nxw_field vent[] = {
    {"bore", NXW_DIM_LENGTH, W(vent_bore_m), FROM, 1e-4, 0.1, "mm", 0, ""},
    {"length", NXW_DIM_LENGTH, W(vent_length_m), FROM, 1e-3, 10.0, "cm", 0, ""},
};
SECTION(vent);

static const struct nxw_field hood[] = {
    {"flow", NXW_DIM_AIR_FLOW, W(hood_flow_m3_s), FROM, 0.0, 1e3, "m3/min", 0, ""},
};
SECTION(hood);

static const struct nxw_field after[] = {
    {"standing", NXW_DIM_TIME, W(standing_s), FROM, 0.0, 2.592e6, "min", 0,
     "open to the vent after source and carrier have ended"},
};
SECTION(after);

static const struct nxw_field surroundings[] = {
    {"temperature", NXW_DIM_TEMPERATURE, W(surroundings_temperature_K), FROM, 263.15, 323.15,
     "degC", 0, ""},
    {"pressure", NXW_DIM_PRESSURE, W(surroundings_pressure_Pa), FROM, 5e4, 1.2e5, "kPa", 0, ""},
};
SECTION(surroundings);

static const struct nxw_field vessel[] = {
    {"volume", NXW_DIM_VOLUME, W(vessel_volume_m3), FROM, 0.0, 0.2, "mL", 0,
     "gas space of the hot vessel"},
    {"hot", NXW_DIM_TEMPERATURE, W(vessel_hot_K), FROM, 173.15, 1273.15, "degC", 0, ""},
    {"cool", NXW_DIM_TEMPERATURE, W(vessel_cool_K), FROM, 173.15, 1273.15, "degC", 0, ""},
};
SECTION(vessel);
/* clang-format on */

double *nxw_field_place(const struct nxw_field *field, void *object)
{
    return (double *)(void *)((char *)object + field->offset);
}

double nxw_field_value(const struct nxw_field *field, const void *object)
{
    return *(const double *)(const void *)((const char *)object + field->offset);
}
