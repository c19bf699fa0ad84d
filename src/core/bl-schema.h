/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Private to core: one table per struct of the board document says which key is which field.
 * Making, copying, freeing, reading and writing walk the same tables: none can forget a field. */

typedef enum
{
  BL_FIELD_TEXT,         /* char * */
  BL_FIELD_NUMBER,       /* double */
  BL_FIELD_PHYSICAL,     /* double, may be written in the trade's notation in the field's unit */
  BL_FIELD_FLAG,         /* int: -1, 0, 1 */
  BL_FIELD_TEXTS,        /* char **, a list */
  BL_FIELD_NAMES,        /* char **, one name or a list; companion: gboolean is_list */
  BL_FIELD_QUANTITY,     /* BlQuantity */
  BL_FIELD_PAIR,         /* BlQuantity[2]; companion: gboolean has */
  BL_FIELD_POINTS,       /* GArray of double, pairs; with a unit they may be quantities */
  BL_FIELD_CHANCES,      /* GArray of BlShows: an object of numbers; companion: char *notes */
  BL_FIELD_PASSES,       /* BlPasses */
  BL_FIELD_NEED,         /* int */
  BL_FIELD_MEASURES,     /* BlMeasures */
  BL_FIELD_LIST,         /* GPtrArray of element */
  BL_FIELD_GROUP,        /* an object, its fields in the same struct; companion: gboolean has */
  BL_FIELD_OBJECT        /* pointer to element */
} BlFieldKind;

typedef struct BlSchema BlSchema;

typedef struct
{
  const char *key;
  BlFieldKind kind;
  gsize offset;
  gsize companion;         /* offset of the field that goes with it, see the kinds */
  const BlSchema *element; /* of LIST, GROUP, OBJECT */
  const char *unit;        /* of PHYSICAL and QUANTITY; NULL: what the measurement measures */
} BlField;

struct BlSchema
{
  gsize size;
  const BlField *fields; /* in the order they are written; ends with key NULL */
  GDestroyNotify free;
  gsize short_text;      /* an element may be written as a text alone, kept in this field ... */
  gsize long_flag;       /* ... and this gboolean says that it was an object; both 0: it may not */
};

extern const BlSchema bl_board_schema, bl_state_schema, bl_photo_schema, bl_landmark_schema,
  bl_outline_schema, bl_section_schema, bl_port_schema, bl_feed_schema, bl_stage_schema,
  bl_effect_schema, bl_provokes_schema, bl_mode_schema, bl_component_schema, bl_test_point_schema,
  bl_mark_schema, bl_follows_schema, bl_expected_schema, bl_measurement_schema, bl_when_schema,
  bl_symptom_schema, bl_lamp_pattern_schema, bl_indication_schema;
extern const BlSchema bl_odds_schema; /* of a BlBoard's odds; its offsets are the board's */

/* A new struct with every field left out. Returns: (transfer full). */
gpointer bl_schema_new (const BlSchema *schema);
/* Frees what the fields own, not the struct itself. */
void bl_schema_clear (const BlSchema *schema, gpointer self);
void bl_schema_free (const BlSchema *schema, gpointer self);
/* A deep copy. Returns: (transfer full). */
gpointer bl_schema_copy (const BlSchema *schema, gconstpointer self);

/* Address of a field. */
static inline gpointer
bl_field_in (gconstpointer self, gsize offset)
{
  return (char *) self + offset;
}

/* Appends to *array of BlShows, making it when it is NULL. */
void bl_chances_add (GArray **array, const char *name, double chance);

G_END_DECLS
