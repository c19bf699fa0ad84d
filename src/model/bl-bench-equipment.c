/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What only a job on an equipment has: its boxes by role, names with and without the role, and the question which box
 * feeds which. A mistaken direction makes every odd wrong, so it can be put right as long as nothing was read; then it
 * stays, for what was read was read by that document.
 */
#include "config.h"

#include "bl-bench-equipment.h"

#include "bl-bench-private.h"
#include "bl-wiring.h"

#include <glib/gi18n-lib.h>
#include <string.h>

gboolean
bl_bench_load_equipment (BlBench *self, GError **error)
{
  BlEquipment *equipment;
  GPtrArray *boxes;

  if (self->job->equipment == 0)
    return TRUE;
  equipment = bl_library_get_equipment (self->library, self->job->equipment, error);
  boxes = equipment != NULL ? bl_library_equipment_boards (self->library, self->job->equipment, error) : NULL;
  if (boxes == NULL)
    {
      bl_equipment_free (equipment);
      return FALSE;
    }
  g_clear_pointer (&self->equipment, bl_equipment_free);
  self->equipment = equipment;
  g_clear_pointer (&self->boxes, g_ptr_array_unref);
  self->boxes = boxes;
  return TRUE;
}

const BlEquipment *
bl_bench_get_equipment (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->equipment;
}

GPtrArray *
bl_bench_get_boxes (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->boxes;
}

/* --- names --- */

const char *
bl_bench_role_of (BlBench *self, const char *id)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  for (guint i = 0; slash != NULL && i < bl_len (self->boxes); i++)
    {
      const BlEquipmentBoard *box = bl_at (self->boxes, i);
      if (strlen (box->role) == (gsize) (slash - id) && strncmp (box->role, id, (gsize) (slash - id)) == 0)
        return box->role;
    }
  return NULL; /* a conductor may have something else in it: "W3/other" */
}

const char *
bl_bench_local_id (BlBench *self, const char *id)
{
  g_return_val_if_fail (BL_IS_BENCH (self), id);
  const char *role = bl_bench_role_of (self, id);

  return role != NULL ? id + strlen (role) + 1 : id;
}

char *
bl_bench_section_title (BlBench *self, const char *section)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlSection *found = section != NULL ? bl_board_section (bl_bench_get_board (self), section) : NULL;
  const char *role = bl_bench_role_of (self, section);
  const char *title = found != NULL && found->title != NULL ? found->title : bl_bench_local_id (self, section);

  if (section == NULL)
    return g_strdup (self->equipment != NULL ? _ ("Field checks and conductors") : _ ("Other"));
  /* Translators: box of the equipment, section of its board: "wall: Supply" */
  if (*title == '\0')
    title = _ ("Other");
  return role != NULL ? g_strdup_printf (_ ("%s: %s"), role, title) : g_strdup (title);
}

gint64
bl_bench_box_board (BlBench *self, const char *role)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);

  for (guint i = 0; i < bl_len (self->boxes); i++)
    if (g_strcmp0 (((BlEquipmentBoard *) bl_at (self->boxes, i))->role, role) == 0)
      return ((BlEquipmentBoard *) bl_at (self->boxes, i))->board;
  return 0;
}

gboolean
bl_bench_is_about (BlBench *self, gint64 board)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  for (guint i = 0; i < bl_len (self->boxes); i++)
    if (((BlEquipmentBoard *) bl_at (self->boxes, i))->board == board)
      return TRUE;
  return self->equipment == NULL && self->job->board == board;
}

/* --- which box feeds which --- */

/* Which board feeds which: the conductors that bring another board its supply. */
typedef struct
{
  BlWiring *wiring;
  GPtrArray *boxes; /* BlEquipmentBoard */
} Supply;

static void
supply_clear (Supply *self)
{
  g_clear_pointer (&self->wiring, bl_wiring_free);
  g_clear_pointer (&self->boxes, g_ptr_array_unref);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Supply, supply_clear)

static gboolean
supply_load (Supply *self, BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (library, id, error);
  g_autoptr (BlBoard) joined = equipment != NULL ? bl_library_join_equipment (library, id, NULL, error) : NULL;

  self->boxes = joined != NULL ? bl_library_equipment_boards (library, id, error) : NULL;
  self->wiring = self->boxes != NULL ? bl_wiring_new (joined, equipment) : NULL;
  return self->wiring != NULL;
}

/* The board of the library at an end of a conductor; 0: none. */
static gint64
board_at (const Supply *self, const BlWireConductor *conductor, guint end)
{
  int box = conductor->box[end];

  return box >= 0 && (guint) box < self->boxes->len ? ((BlEquipmentBoard *) bl_at (self->boxes, box))->board : 0;
}

static gboolean
feeds (const Supply *self, gint64 from, gint64 to)
{
  for (guint i = 0; i < self->wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (self->wiring->conductors, i);
      if (conductor->supplies && board_at (self, conductor, 0) == from && board_at (self, conductor, 1) == to)
        return TRUE;
    }
  return FALSE;
}

/* TRUE when a board that the other feeds in one feeds it in the other. */
static gboolean
is_opposite (const Supply *one, const Supply *other)
{
  for (guint i = 0; i < one->boxes->len; i++)
    for (guint k = 0; k < one->boxes->len; k++)
      {
        gint64 a = ((BlEquipmentBoard *) bl_at (one->boxes, i))->board,
               b = ((BlEquipmentBoard *) bl_at (one->boxes, k))->board;
        if (a != b && feeds (one, a, b) && feeds (other, b, a))
          return TRUE;
      }
  return FALSE;
}

GArray *
bl_bench_other_directions (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  g_autoptr (GArray) alike = NULL;
  g_auto (Supply) own = { NULL, NULL };

  if (self->equipment == NULL)
    return g_array_new (FALSE, FALSE, sizeof (gint64));
  alike = bl_library_equipments_alike (self->library, self->job->equipment, error);
  if (alike == NULL || (alike->len > 0 && !supply_load (&own, self->library, self->job->equipment, error)))
    return NULL;
  for (guint i = alike->len; i > 0; i--)
    {
      g_auto (Supply) other = { NULL, NULL };
      /* One that does not hold together cannot be worked with. */
      if (!supply_load (&other, self->library, g_array_index (alike, gint64, i - 1), NULL) || !is_opposite (&own, &other))
        g_array_remove_index (alike, i - 1);
    }
  return g_steal_pointer (&alike);
}

gboolean
bl_bench_can_change_equipment (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (self->equipment == NULL || self->job->closed)
    return FALSE;
  for (guint i = 0; i < bl_len (self->records); i++)
    switch (((const BlRecord *) bl_at (self->records, i))->kind)
      {
      case BL_RECORD_READING: /* struck ones too: they may be restored */
      case BL_RECORD_PART_TEST:
      case BL_RECORD_REPLACED:
      case BL_RECORD_ROUND:
      case BL_RECORD_CAUSE:
      case BL_RECORD_NO_CAUSE:
      case BL_RECORD_TEST:
        return FALSE;
      default: /* says nothing that the direction could make wrong */
        break;
      }
  return TRUE;
}

gboolean
bl_bench_has_said_direction (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  for (guint i = 0; self->equipment != NULL && self->equipment->title != NULL && i < bl_len (self->records); i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->kind == BL_RECORD_NOTE && !record->struck && record->text != NULL
          && strstr (record->text, self->equipment->title) != NULL)
        return TRUE;
    }
  return FALSE;
}

/* What was chosen stands in the log, for everything that is read depends on it. */
static gboolean
note_direction (BlBench *self, gint64 id, GError **error)
{
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (self->library, id, error);
  g_autoptr (BlRecord) record = NULL;
  g_autofree char *text = NULL;

  if (equipment == NULL)
    return FALSE;
  text = g_strdup_printf (_ ("Supply direction: %s"), equipment->title != NULL ? equipment->title : "");
  record = bl_record_new (BL_RECORD_NOTE, NULL, text);
  record->job = self->job->id;
  return bl_library_append (self->library, record, error);
}

static gboolean
save_equipment (BlBench *self, gint64 equipment, GError **error)
{
  g_autoptr (BlJob) job = bl_library_load_job (self->library, self->job->id, error);

  if (job == NULL)
    return FALSE;
  job->equipment = equipment;
  return bl_library_save_job (self->library, job, error) && note_direction (self, equipment, error);
}

gboolean
bl_bench_change_equipment (BlBench *self, gint64 equipment, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  const char *doing = _ ("saving the supply direction");

  if (!bl_bench_can_change_equipment (self))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   _ ("Something was read already: begin another job for the other direction"));
      return FALSE;
    }
  return bl_library_begin (self->library, doing, error)
         && bl_library_end (self->library, save_equipment (self, equipment, error), doing, error);
}

/* --- where the fault lies --- */

const BlPlaces *
bl_bench_get_places (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->equipment != NULL && self->diagnosis != NULL ? self->diagnosis->places : NULL;
}

gboolean
bl_bench_has_evidence (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autoptr (GPtrArray) entries = bl_records_to_entries (self->records);

  return entries->len > 0;
}

const BlFaultPlace *
bl_bench_likely_place (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlPlaces *places = bl_bench_get_places (self);

  return places != NULL && places->first != NULL && places->first->probability >= 0.5 && bl_bench_has_evidence (self)
             ? places->first
             : NULL;
}

const char *
bl_bench_isolated_role (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlPlaces *places = bl_bench_get_places (self);

  return places != NULL && places->verdict == BL_PLACES_ISOLATED && places->first != NULL
                 && places->first->kind == BL_PLACE_BOARD
             ? places->first->id
             : NULL;
}

/* --- jobs --- */

gint64
bl_bench_start_equipment (BlLibrary *library, gint64 equipment, const BlJob *head, GError **error)
{
  g_return_val_if_fail (library != NULL, 0);
  g_autoptr (BlJob) job = bl_job_new ();

  job->equipment = equipment;
  if (head != NULL)
    bl_bench_take_head (job, head);
  return bl_library_add_job (library, job, error);
}
