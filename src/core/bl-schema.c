/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of the board document's structs, and what follows from them alone: making, copying and
 * freeing. A board has some hundred elements; walking a table of ten fields for each costs nothing.
 * What a value may be is not said here but in the validation. */
#include "config.h"

#include "bl-schema.h"

#define AT(Type, field) G_STRUCT_OFFSET (Type, field)
#define END { NULL, BL_FIELD_TEXT, 0, 0, NULL, NULL }
#define TEXT(Type, key, field) { key, BL_FIELD_TEXT, AT (Type, field), 0, NULL, NULL }
#define NUMBER(Type, key, field) { key, BL_FIELD_NUMBER, AT (Type, field), 0, NULL, NULL }
#define PHYSICAL(Type, key, field, unit)                                                           \
  { key, BL_FIELD_PHYSICAL, AT (Type, field), 0, NULL, unit }
#define FLAG(Type, key, field) { key, BL_FIELD_FLAG, AT (Type, field), 0, NULL, NULL }
#define TEXTS(Type, key, field) { key, BL_FIELD_TEXTS, AT (Type, field), 0, NULL, NULL }
#define NAMES(Type, key, field, is_list)                                                           \
  { key, BL_FIELD_NAMES, AT (Type, field), AT (Type, is_list), NULL, NULL }
#define QUANTITY(Type, key, field, unit)                                                           \
  { key, BL_FIELD_QUANTITY, AT (Type, field), 0, NULL, unit }
#define PAIR(Type, key, field, has)                                                                \
  { key, BL_FIELD_PAIR, AT (Type, field), AT (Type, has), NULL, NULL }
#define POINTS(Type, key, field) { key, BL_FIELD_POINTS, AT (Type, field), 0, NULL, NULL }
#define CHANCES(Type, key, field, notes)                                                           \
  { key, BL_FIELD_CHANCES, AT (Type, field), AT (Type, notes), NULL, NULL }
#define PASSES(Type, key, field) { key, BL_FIELD_PASSES, AT (Type, field), 0, NULL, NULL }
#define NEED(Type, key, field) { key, BL_FIELD_NEED, AT (Type, field), 0, NULL, NULL }
#define MEASURES(Type, key, field) { key, BL_FIELD_MEASURES, AT (Type, field), 0, NULL, NULL }
#define LIST(Type, key, field, element)                                                            \
  { key, BL_FIELD_LIST, AT (Type, field), 0, &bl_##element##_schema, NULL }
#define OBJECT(Type, key, field, element)                                                          \
  { key, BL_FIELD_OBJECT, AT (Type, field), 0, &bl_##element##_schema, NULL }
#define GROUP(Type, key, base, has, schema)                                                        \
  { key, BL_FIELD_GROUP, base, AT (Type, has), &schema, NULL }
#define SCHEMA(Type, name)                                                                         \
  const BlSchema bl_##name##_schema                                                                \
    = { sizeof (Type), name##_fields, (GDestroyNotify) bl_##name##_free, 0, 0 }

static const BlField state_fields[] = {
  TEXT (BlState, "id", id),
  TEXT (BlState, "title", title),
  FLAG (BlState, "live", live),
  PHYSICAL (BlState, "volts", volts, "V"),
  NUMBER (BlState, "enter_s", enter_s),
  NUMBER (BlState, "lasts_s", lasts_s),
  TEXT (BlState, "how", how),
  TEXTS (BlState, "dead_proof", dead_proof),
  TEXT (BlState, "capacitor", capacitor),
  TEXT (BlState, "bleeder", bleeder),
  TEXT (BlState, "notes", notes),
  END
};
SCHEMA (BlState, state);

static const BlField landmark_fields[] = {
  TEXT (BlLandmark, "id", id),
  NUMBER (BlLandmark, "x", x),
  NUMBER (BlLandmark, "y", y),
  TEXT (BlLandmark, "notes", notes),
  END
};
SCHEMA (BlLandmark, landmark);

static const BlField photo_fields[] = {
  TEXT (BlPhoto, "id", id),
  TEXT (BlPhoto, "title", title),
  TEXT (BlPhoto, "side", side),
  TEXT (BlPhoto, "file", file),
  NUMBER (BlPhoto, "mm_per_px", mm_per_px),
  LIST (BlPhoto, "landmarks", landmarks, landmark),
  TEXT (BlPhoto, "notes", notes),
  END
};
SCHEMA (BlPhoto, photo);

static const BlField outline_fields[] = {
  TEXT (BlOutline, "photo", photo),
  POINTS (BlOutline, "points", points),
  TEXT (BlOutline, "notes", notes),
  END
};
SCHEMA (BlOutline, outline);

static const BlField section_fields[] = {
  TEXT (BlSection, "id", id),
  TEXT (BlSection, "kind", kind),
  TEXT (BlSection, "title", title),
  LIST (BlSection, "outlines", outlines, outline),
  TEXT (BlSection, "notes", notes),
  END
};
SCHEMA (BlSection, section);

static const BlField port_fields[] = {
  TEXT (BlPort, "id", id),
  TEXT (BlPort, "title", title),
  TEXT (BlPort, "notes", notes),
  END
};
SCHEMA (BlPort, port);

static const BlField feed_fields[] = {
  TEXT (BlFeed, "stage", from),
  PASSES (BlFeed, "passes", passes),
  TEXT (BlFeed, "notes", notes),
  END
};
const BlSchema bl_feed_schema = { sizeof (BlFeed), feed_fields, (GDestroyNotify) bl_feed_free,
                                  AT (BlFeed, from), AT (BlFeed, object) };

static const BlField feeds_fields[] = {
  NEED (BlStage, "need", need),
  LIST (BlStage, "from", feeds, feed),
  PASSES (BlStage, "passes", feeds_passes),
  TEXT (BlStage, "notes", feeds_notes),
  END
};
static const BlSchema feeds_schema = { 0, feeds_fields, NULL, 0, 0 };

static const BlField stage_fields[] = {
  TEXT (BlStage, "id", id),
  TEXT (BlStage, "section", section),
  TEXT (BlStage, "title", title),
  GROUP (BlStage, "feeds", 0, has_feeds, feeds_schema),
  PASSES (BlStage, "passes", passes),
  LIST (BlStage, "outlines", outlines, outline),
  TEXT (BlStage, "notes", notes),
  END
};
SCHEMA (BlStage, stage);

static const BlField effect_fields[] = {
  TEXT (BlEffect, "on", on),
  NAMES (BlEffect, "is", is, is_list),
  TEXTS (BlEffect, "in", in),
  TEXT (BlEffect, "notes", notes),
  END
};
SCHEMA (BlEffect, effect);

static const BlField provokes_fields[] = {
  TEXT (BlProvokes, "component", component),
  TEXT (BlProvokes, "mode", mode),
  NUMBER (BlProvokes, "chance", chance),
  TEXT (BlProvokes, "notes", notes),
  END
};
SCHEMA (BlProvokes, provokes);

static const BlField mode_fields[] = {
  TEXT (BlMode, "mode", mode),
  NUMBER (BlMode, "weight", weight),
  CHANCES (BlMode, "shows", shows, shows_notes),
  LIST (BlMode, "effects", effects, effect),
  LIST (BlMode, "provokes", provokes, provokes),
  TEXT (BlMode, "notes", notes),
  END
};
SCHEMA (BlMode, mode);

static const BlField component_fields[] = {
  TEXT (BlComponent, "id", id),
  TEXT (BlComponent, "kind", kind),
  TEXT (BlComponent, "value", value),
  TEXT (BlComponent, "title", title),
  TEXT (BlComponent, "stage", stage),
  TEXT (BlComponent, "photo", photo),
  NUMBER (BlComponent, "x", x),
  NUMBER (BlComponent, "y", y),
  NUMBER (BlComponent, "weight", weight),
  NUMBER (BlComponent, "test_s", test_s),
  NUMBER (BlComponent, "replace_s", replace_s),
  NUMBER (BlComponent, "factor", factor),
  TEXT (BlComponent, "factor_reason", factor_reason),
  LIST (BlComponent, "modes", modes, mode),
  TEXT (BlComponent, "notes", notes),
  END
};
SCHEMA (BlComponent, component);

static const BlField test_point_fields[] = {
  TEXT (BlTestPoint, "id", id),
  TEXT (BlTestPoint, "title", title),
  TEXT (BlTestPoint, "photo", photo),
  NUMBER (BlTestPoint, "x", x),
  NUMBER (BlTestPoint, "y", y),
  TEXT (BlTestPoint, "ground", ground),
  QUANTITY (BlTestPoint, "source_ohm", source_ohm, "ohm"),
  TEXT (BlTestPoint, "notes", notes),
  END
};
SCHEMA (BlTestPoint, test_point);

static const BlField mark_fields[] = {
  TEXT (BlMark, "id", id),
  QUANTITY (BlMark, "low", low, NULL),
  QUANTITY (BlMark, "high", high, NULL),
  TEXT (BlMark, "notes", notes),
  END
};
SCHEMA (BlMark, mark);

static const BlField follows_fields[] = {
  TEXT (BlFollows, "measurement", measurement),
  { "points", BL_FIELD_POINTS, AT (BlFollows, points), 0, NULL, "of the measurements" },
  NUMBER (BlFollows, "tolerance", tolerance),
  QUANTITY (BlFollows, "within", within, NULL),
  TEXT (BlFollows, "notes", notes),
  END
};
SCHEMA (BlFollows, follows);

static const BlField expected_fields[] = {
  QUANTITY (BlExpected, "nominal", nominal, NULL),
  TEXT (BlExpected, "tolerance", tolerance),
  QUANTITY (BlExpected, "low", low, NULL),
  QUANTITY (BlExpected, "high", high, NULL),
  QUANTITY (BlExpected, "absent_below", absent_below, NULL),
  QUANTITY (BlExpected, "shorted_below", shorted_below, NULL),
  QUANTITY (BlExpected, "open_above", open_above, NULL),
  PAIR (BlExpected, "min", min, has_min),
  PAIR (BlExpected, "max", max, has_max),
  QUANTITY (BlExpected, "span_below", span_below, NULL),
  FLAG (BlExpected, "answer", answer),
  TEXT (BlExpected, "source", source),
  LIST (BlExpected, "marks", marks, mark),
  OBJECT (BlExpected, "follows", follows, follows),
  TEXT (BlExpected, "notes", notes),
  END
};
const BlSchema bl_expected_schema = { sizeof (BlExpected), expected_fields, NULL, 0, 0 };

static const BlField measurement_fields[] = {
  TEXT (BlMeasurement, "id", id),
  TEXT (BlMeasurement, "title", title),
  TEXT (BlMeasurement, "at", at),
  TEXT (BlMeasurement, "black", black),
  MEASURES (BlMeasurement, "measures", measures),
  TEXT (BlMeasurement, "state", state),
  TEXT (BlMeasurement, "reads", reads),
  NUMBER (BlMeasurement, "effort_s", effort_s),
  NUMBER (BlMeasurement, "misread", misread),
  FLAG (BlMeasurement, "series", series),
  TEXT (BlMeasurement, "waveform", waveform),
  NUMBER (BlMeasurement, "duty", duty),
  GROUP (BlMeasurement, "expected", AT (BlMeasurement, expected), has_expected, bl_expected_schema),
  TEXT (BlMeasurement, "notes", notes),
  END
};
SCHEMA (BlMeasurement, measurement);

static const BlField when_fields[] = {
  TEXT (BlWhen, "on", on),
  NAMES (BlWhen, "is", is, is_list),
  TEXT (BlWhen, "state", state),
  TEXT (BlWhen, "notes", notes),
  END
};
SCHEMA (BlWhen, when);

static const BlField symptom_fields[] = {
  TEXT (BlSymptom, "id", id),
  TEXT (BlSymptom, "title", title),
  LIST (BlSymptom, "when", when, when),
  TEXT (BlSymptom, "notes", notes),
  END
};
SCHEMA (BlSymptom, symptom);

static const BlField lamp_pattern_fields[] = {
  TEXT (BlLampPattern, "lamp", lamp),
  NUMBER (BlLampPattern, "blinks", blinks),
  NUMBER (BlLampPattern, "rate_hz", rate_hz),
  FLAG (BlLampPattern, "steady", steady),
  TEXT (BlLampPattern, "notes", notes),
  END
};
SCHEMA (BlLampPattern, lamp_pattern);

static const BlField indication_fields[] = {
  TEXT (BlIndication, "symptom", symptom),
  TEXT (BlIndication, "edition", edition),
  LIST (BlIndication, "pattern", pattern, lamp_pattern),
  TEXT (BlIndication, "notes", notes),
  END
};
SCHEMA (BlIndication, indication);

static const BlField mains_fields[] = {
  PHYSICAL (BlBoard, "voltage", mains_voltage, "V"),
  PHYSICAL (BlBoard, "frequency", mains_frequency, "Hz"),
  TEXT (BlBoard, "notes", mains_notes),
  END
};
static const BlSchema mains_schema = { 0, mains_fields, NULL, 0, 0 };

static const BlField odds_fields[] = {
  NUMBER (BlBoard, "faults", odds.faults),
  NUMBER (BlBoard, "elsewhere", odds.elsewhere),
  NUMBER (BlBoard, "other", odds.other),
  NUMBER (BlBoard, "setup", odds.setup),
  NUMBER (BlBoard, "misreport", odds.misreport),
  TEXT (BlBoard, "notes", odds_notes),
  END
};
const BlSchema bl_odds_schema = { 0, odds_fields, NULL, 0, 0 };

static const BlField board_fields[] = {
  TEXT (BlBoard, "uid", uid),
  TEXT (BlBoard, "maker", maker),
  TEXT (BlBoard, "model", model),
  TEXT (BlBoard, "board_number", board_number),
  TEXT (BlBoard, "edition", edition),
  GROUP (BlBoard, "mains", 0, has_mains, mains_schema),
  GROUP (BlBoard, "odds", 0, has_odds, bl_odds_schema),
  LIST (BlBoard, "states", states, state),
  LIST (BlBoard, "photos", photos, photo),
  LIST (BlBoard, "sections", sections, section),
  LIST (BlBoard, "ports", ports, port),
  LIST (BlBoard, "stages", stages, stage),
  LIST (BlBoard, "components", components, component),
  LIST (BlBoard, "test_points", test_points, test_point),
  LIST (BlBoard, "measurements", measurements, measurement),
  LIST (BlBoard, "symptoms", symptoms, symptom),
  LIST (BlBoard, "indications", indications, indication),
  TEXT (BlBoard, "notes", notes),
  END
};
SCHEMA (BlBoard, board);

static void
init_passes (BlPasses *passes)
{
  for (guint d = 0; d < BL_N_DEVIATIONS; d++)
    passes->to[d] = BL_PASSES_UNCHANGED;
}

/* self is zeroed; sets the fields whose "left out" is not zero. */
static void
init (const BlSchema *schema, gpointer self)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    {
      gpointer at = bl_field_in (self, f->offset);
      if (f->kind == BL_FIELD_NUMBER || f->kind == BL_FIELD_PHYSICAL)
        *(double *) at = NAN;
      else if (f->kind == BL_FIELD_FLAG)
        *(int *) at = -1;
      else if (f->kind == BL_FIELD_QUANTITY)
        *(BlQuantity *) at = BL_QUANTITY_NONE;
      else if (f->kind == BL_FIELD_PAIR)
        ((BlQuantity *) at)[0] = ((BlQuantity *) at)[1] = BL_QUANTITY_NONE;
      else if (f->kind == BL_FIELD_PASSES)
        init_passes (at);
      else if (f->kind == BL_FIELD_MEASURES)
        *(BlMeasures *) at = BL_N_MEASURES;
      else if (f->kind == BL_FIELD_GROUP)
        init (f->element, at);
    }
}

gpointer
bl_schema_new (const BlSchema *schema)
{
  gpointer self = g_malloc0 (schema->size);
  init (schema, self);
  return self;
}

static void
clear_field (const BlField *f, gpointer self)
{
  gpointer at = bl_field_in (self, f->offset);
  switch (f->kind)
    {
    case BL_FIELD_TEXT:
      g_clear_pointer ((char **) at, g_free);
      break;
    case BL_FIELD_TEXTS:
    case BL_FIELD_NAMES:
      g_clear_pointer ((char ***) at, g_strfreev);
      break;
    case BL_FIELD_PAIR:
      bl_quantity_clear ((BlQuantity *) at + 1);
      G_GNUC_FALLTHROUGH;
    case BL_FIELD_QUANTITY:
      bl_quantity_clear (at);
      break;
    case BL_FIELD_CHANCES:
      g_clear_pointer ((char **) bl_field_in (self, f->companion), g_free);
      G_GNUC_FALLTHROUGH;
    case BL_FIELD_POINTS:
      g_clear_pointer ((GArray **) at, g_array_unref);
      break;
    case BL_FIELD_PASSES:
      g_clear_pointer (&((BlPasses *) at)->notes, g_free);
      break;
    case BL_FIELD_LIST:
      g_clear_pointer ((GPtrArray **) at, g_ptr_array_unref);
      break;
    case BL_FIELD_GROUP:
      bl_schema_clear (f->element, at);
      break;
    case BL_FIELD_OBJECT:
      bl_schema_free (f->element, *(gpointer *) at);
      *(gpointer *) at = NULL;
      break;
    case BL_FIELD_NUMBER:
    case BL_FIELD_PHYSICAL:
    case BL_FIELD_FLAG:
    case BL_FIELD_NEED:
    case BL_FIELD_MEASURES:
      break;
    }
}

void
bl_schema_clear (const BlSchema *schema, gpointer self)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    clear_field (f, self);
}

void
bl_schema_free (const BlSchema *schema, gpointer self)
{
  if (self == NULL)
    return;
  bl_schema_clear (schema, self);
  g_free (self);
}

static void
clear_chance (gpointer item)
{
  g_free (((BlShows *) item)->condition);
}

void
bl_chances_add (GArray **array, const char *name, double chance)
{
  if (*array == NULL)
    {
      *array = g_array_new (FALSE, FALSE, sizeof (BlShows));
      g_array_set_clear_func (*array, clear_chance);
    }
  if (name == NULL)
    return;
  BlShows item = { g_strdup (name), chance };
  g_array_append_val (*array, item);
}

static GArray *
copy_chances (const GArray *from)
{
  GArray *to = NULL;
  bl_chances_add (&to, NULL, 0);
  for (guint i = 0; i < from->len; i++)
    {
      const BlShows *item = &g_array_index (from, BlShows, i);
      bl_chances_add (&to, item->condition, item->chance);
    }
  return to;
}

static GPtrArray *
copy_list (const BlSchema *element, const GPtrArray *from)
{
  GPtrArray *to = g_ptr_array_new_full (from->len, element->free);
  for (guint i = 0; i < from->len; i++)
    g_ptr_array_add (to, bl_schema_copy (element, bl_at (from, i)));
  return to;
}

static void copy_fields (const BlSchema *schema, gpointer to, gconstpointer from);

/* to is a bytewise copy of from: replaces what the field owns by a copy of its own. */
static void
copy_field (const BlField *f, gpointer self, gconstpointer original)
{
  gpointer to = bl_field_in (self, f->offset);
  const void *from = bl_field_in (original, f->offset);
  switch (f->kind)
    {
    case BL_FIELD_TEXT:
      *(char **) to = g_strdup (*(char *const *) from);
      break;
    case BL_FIELD_TEXTS:
    case BL_FIELD_NAMES:
      *(char ***) to = g_strdupv (*(char **const *) from);
      break;
    case BL_FIELD_PAIR:
      ((BlQuantity *) to)[1].text = g_strdup (((const BlQuantity *) from)[1].text);
      G_GNUC_FALLTHROUGH;
    case BL_FIELD_QUANTITY:
      ((BlQuantity *) to)->text = g_strdup (((const BlQuantity *) from)->text);
      break;
    case BL_FIELD_POINTS:
      if (*(GArray *const *) from != NULL)
        *(GArray **) to = g_array_copy (*(GArray *const *) from);
      break;
    case BL_FIELD_CHANCES:
      if (*(GArray *const *) from != NULL)
        *(GArray **) to = copy_chances (*(GArray *const *) from);
      *(char **) bl_field_in (self, f->companion)
        = g_strdup (*(char **) bl_field_in (original, f->companion));
      break;
    case BL_FIELD_PASSES:
      ((BlPasses *) to)->notes = g_strdup (((const BlPasses *) from)->notes);
      break;
    case BL_FIELD_LIST:
      if (*(GPtrArray *const *) from != NULL)
        *(GPtrArray **) to = copy_list (f->element, *(GPtrArray *const *) from);
      break;
    case BL_FIELD_GROUP:
      copy_fields (f->element, to, from);
      break;
    case BL_FIELD_OBJECT:
      *(gpointer *) to = bl_schema_copy (f->element, *(const gpointer *) from);
      break;
    case BL_FIELD_NUMBER:
    case BL_FIELD_PHYSICAL:
    case BL_FIELD_FLAG:
    case BL_FIELD_NEED:
    case BL_FIELD_MEASURES:
      break;
    }
}

static void
copy_fields (const BlSchema *schema, gpointer to, gconstpointer from)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    copy_field (f, to, from);
}

gpointer
bl_schema_copy (const BlSchema *schema, gconstpointer self)
{
  if (self == NULL)
    return NULL;
  gpointer to = g_memdup2 (self, schema->size);
  copy_fields (schema, to, self);
  return to;
}
