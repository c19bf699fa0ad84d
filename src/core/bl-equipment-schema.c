/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equipment document's tables, and giving a board's ids their role. The joining itself is in
 * bl-equipment.c. */
#include "config.h"

#include "bl-equipment.h"

#include <string.h>

#define AT(Type, field) G_STRUCT_OFFSET (Type, field)
#define END { NULL, BL_FIELD_TEXT, 0, 0, NULL, NULL }
#define FIELD(Type, key, kind, field) { key, BL_FIELD_##kind, AT (Type, field), 0, NULL, NULL }
#define LIST(Type, key, field, schema) { key, BL_FIELD_LIST, AT (Type, field), 0, &schema, NULL }

static const BlField member_fields[] = {
  FIELD (BlMember, "role", TEXT, role),
  FIELD (BlMember, "board", TEXT, board),
  FIELD (BlMember, "notes", TEXT, notes),
  END
};
static void member_free (gpointer self);
static const BlSchema member_schema = { sizeof (BlMember), member_fields, member_free, 0, 0 };
static void
member_free (gpointer self)
{
  bl_schema_free (&member_schema, self);
}

static const BlField conductor_fields[] = {
  FIELD (BlPart, "id", TEXT, id),
  FIELD (BlPart, "title", TEXT, title),
  FIELD (BlPart, "kind", TEXT, kind),
  FIELD (BlPart, "from", TEXT, from),
  FIELD (BlPart, "to", TEXT, to),
  FIELD (BlPart, "weight", NUMBER, weight),
  LIST (BlPart, "modes", modes, bl_mode_schema),
  FIELD (BlPart, "notes", TEXT, notes),
  END
};
static void conductor_free (gpointer self);
static const BlSchema conductor_schema
  = { sizeof (BlPart), conductor_fields, conductor_free, 0, 0 };
static void
conductor_free (gpointer self)
{
  bl_schema_free (&conductor_schema, self);
}

static const BlField cable_fields[] = {
  FIELD (BlPart, "id", TEXT, id),
  FIELD (BlPart, "title", TEXT, title),
  FIELD (BlPart, "kind", TEXT, kind),
  FIELD (BlPart, "conductors", TEXTS, conductors),
  FIELD (BlPart, "weight", NUMBER, weight),
  LIST (BlPart, "modes", modes, bl_mode_schema),
  FIELD (BlPart, "notes", TEXT, notes),
  END
};
static void cable_free (gpointer self);
static const BlSchema cable_schema = { sizeof (BlPart), cable_fields, cable_free, 0, 0 };
static void
cable_free (gpointer self)
{
  bl_schema_free (&cable_schema, self);
}

static const BlField cross_effect_fields[] = {
  FIELD (BlCrossEffect, "of", TEXT, of),
  FIELD (BlCrossEffect, "mode", TEXT, mode),
  FIELD (BlCrossEffect, "on", TEXT, effect.on),
  { "is", BL_FIELD_NAMES, AT (BlCrossEffect, effect.is), AT (BlCrossEffect, effect.is_list), NULL,
    NULL },
  FIELD (BlCrossEffect, "in", TEXTS, effect.in),
  FIELD (BlCrossEffect, "notes", TEXT, effect.notes),
  END
};
static void cross_effect_free (gpointer self);
static const BlSchema cross_effect_schema
  = { sizeof (BlCrossEffect), cross_effect_fields, cross_effect_free, 0, 0 };
static void
cross_effect_free (gpointer self)
{
  bl_schema_free (&cross_effect_schema, self);
}

static const BlField equipment_fields[] = {
  FIELD (BlEquipment, "uid", TEXT, own.uid),
  FIELD (BlEquipment, "title", TEXT, title),
  { "odds", BL_FIELD_GROUP, AT (BlEquipment, own), AT (BlEquipment, own.has_odds), &bl_odds_schema,
    NULL },
  LIST (BlEquipment, "states", own.states, bl_state_schema),
  LIST (BlEquipment, "test_points", own.test_points, bl_test_point_schema),
  LIST (BlEquipment, "photos", own.photos, bl_photo_schema),
  LIST (BlEquipment, "boards", members, member_schema),
  LIST (BlEquipment, "conductors", conductors, conductor_schema),
  LIST (BlEquipment, "cables", cables, cable_schema),
  LIST (BlEquipment, "effects", effects, cross_effect_schema),
  { "shares", BL_FIELD_CHANCES, AT (BlEquipment, shares), AT (BlEquipment, shares_notes), NULL,
    NULL },
  LIST (BlEquipment, "measurements", own.measurements, bl_measurement_schema),
  LIST (BlEquipment, "symptoms", own.symptoms, bl_symptom_schema),
  LIST (BlEquipment, "indications", own.indications, bl_indication_schema),
  FIELD (BlEquipment, "notes", TEXT, notes),
  END
};
const BlSchema bl_equipment_schema
  = { sizeof (BlEquipment), equipment_fields, (GDestroyNotify) bl_equipment_free, 0, 0 };

void
bl_equipment_free (BlEquipment *equipment)
{
  bl_schema_free (&bl_equipment_schema, equipment);
}

BlEquipment *
bl_equipment_new (void)
{
  return bl_schema_new (&bl_equipment_schema);
}

BlEquipment *
bl_equipment_copy (const BlEquipment *equipment)
{
  return bl_schema_copy (&bl_equipment_schema, equipment);
}

BlEquipment *
bl_equipment_read (const char *text, gssize length, GPtrArray *problems, GError **error)
{
  g_return_val_if_fail (text != NULL, NULL);
  g_autoptr (GPtrArray) own = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_auto (BlReport) report;
  g_autoptr (BlEquipment) equipment = bl_equipment_new ();
  const BlPath root = BL_PATH_ROOT;
  bl_report_init (&report, problems != NULL ? problems : own);
  bl_document_read (text, length, "benchlore-equipment", &bl_equipment_schema, equipment, &report, &root);
  return bl_report_finish (&report, error) ? g_steal_pointer (&equipment) : NULL;
}

char *
bl_equipment_write (const BlEquipment *equipment)
{
  g_return_val_if_fail (equipment != NULL, NULL);
  return bl_document_write_as ("benchlore-equipment", &bl_equipment_schema, equipment);
}

/* --- Roles ------------------------------------------------------------------------------------ */

static void
add_role (char **id, const char *role)
{
  char *with = NULL;
  if (*id == NULL)
    return;
  if (g_str_has_prefix (*id, "port:"))
    with = g_strconcat ("port:", role, "/", *id + strlen ("port:"), NULL);
  else
    with = g_strconcat (role, "/", *id, NULL);
  g_free (*id);
  *id = with;
}

/* Landmarks of the same name are the same place of one board, never of two. */
static void
add_role_to_photo (BlPhoto *photo, const char *role)
{
  add_role (&photo->id, role);
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    add_role (&((BlLandmark *) bl_at (photo->landmarks, i))->id, role);
}

static void
add_role_to_outlines (GPtrArray *outlines, const char *role)
{
  for (guint i = 0; i < bl_len (outlines); i++)
    add_role (&((BlOutline *) bl_at (outlines, i))->photo, role);
}

static void
add_role_to_mode (BlMode *mode, const char *role)
{
  for (guint i = 0; i < bl_len (mode->effects); i++)
    add_role (&((BlEffect *) bl_at (mode->effects, i))->on, role);
  for (guint i = 0; i < bl_len (mode->provokes); i++)
    add_role (&((BlProvokes *) bl_at (mode->provokes, i))->component, role);
}

static void
add_role_to_component (BlComponent *component, const char *role)
{
  add_role (&component->id, role);
  add_role (&component->stage, role);
  add_role (&component->photo, role);
  for (guint i = 0; i < bl_len (component->modes); i++)
    add_role_to_mode (bl_at (component->modes, i), role);
}

static void
add_role_to_stage (BlStage *stage, const char *role)
{
  add_role (&stage->id, role);
  add_role (&stage->section, role);
  add_role_to_outlines (stage->outlines, role);
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    add_role (&((BlFeed *) bl_at (stage->feeds, i))->from, role);
}

static void
add_role_to_measurement (BlMeasurement *measurement, const char *role)
{
  add_role (&measurement->id, role);
  add_role (&measurement->at, role);
  add_role (&measurement->black, role);
  add_role (&measurement->reads, role);
  if (measurement->expected.follows != NULL)
    add_role (&measurement->expected.follows->measurement, role);
}

static void
add_role_to_symptom (BlSymptom *symptom, const char *role)
{
  add_role (&symptom->id, role);
  for (guint i = 0; i < bl_len (symptom->when); i++)
    add_role (&((BlWhen *) bl_at (symptom->when, i))->on, role);
}

static void
add_role_to_state (BlState *state, const char *role)
{
  for (guint i = 0; state->dead_proof != NULL && state->dead_proof[i] != NULL; i++)
    add_role (&state->dead_proof[i], role);
  add_role (&state->capacitor, role);
  add_role (&state->bleeder, role);
}

void
bl_board_add_role (BlBoard *board, const char *role)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    add_role_to_state (bl_at (board->states, i), role);
  for (guint i = 0; i < bl_len (board->photos); i++)
    add_role_to_photo (bl_at (board->photos, i), role);
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      BlSection *section = bl_at (board->sections, i);
      add_role (&section->id, role);
      add_role_to_outlines (section->outlines, role);
    }
  for (guint i = 0; i < bl_len (board->ports); i++)
    add_role (&((BlPort *) bl_at (board->ports, i))->id, role);
  for (guint i = 0; i < bl_len (board->stages); i++)
    add_role_to_stage (bl_at (board->stages, i), role);
  for (guint i = 0; i < bl_len (board->components); i++)
    add_role_to_component (bl_at (board->components, i), role);
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      BlTestPoint *point = bl_at (board->test_points, i);
      add_role (&point->id, role);
      add_role (&point->photo, role);
    }
  for (guint i = 0; i < bl_len (board->measurements); i++)
    add_role_to_measurement (bl_at (board->measurements, i), role);
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    add_role_to_symptom (bl_at (board->symptoms, i), role);
  for (guint i = 0; i < bl_len (board->indications); i++)
    add_role (&((BlIndication *) bl_at (board->indications, i))->symptom, role);
}
