/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What only a job on an equipment has: its boxes by role, names with and without the role, and where the fault lies.
 * Which box feeds which is in bl-bench-direction.c, the suspect board in bl-bench-part.c.
 */
#include "config.h"

#include "bl-bench-equipment.h"

#include "bl-bench-private.h"

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
