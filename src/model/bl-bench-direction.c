/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which box of an equipment feeds which: the other documents of the same boards, and going over to one. A mistaken
 * direction makes every odd wrong, so it can be put right as long as nothing was read; then it stays, for what was read
 * was read by that document. The answer that denies the document's direction is no such reading: it is why one goes over,
 * and it is struck there, for the question means the opposite in the other document. Where more was read already another
 * job is begun, and each log names the other one.
 */
#include "config.h"

#include "bl-bench-equipment.h"

#include "bl-bench-private.h"
#include "bl-wiring.h"

#include <glib/gi18n-lib.h>
#include <string.h>

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

/* An answer that the document's direction is not so. */
static gboolean
denies (BlBench *self, const BlRecord *record)
{
  return record->kind == BL_RECORD_READING && record->verdict != NULL && record->band != NULL
         && record->verdict->evidence && record->verdict->best != record->band->good
         && bl_wiring_asks_direction (bl_bench_get_board (self), record->subject);
}

const char *
bl_bench_direction_denied (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  g_autoptr (GHashTable) later = g_hash_table_new (g_str_hash, g_str_equal); /* subjects that were read again */

  for (guint i = self->equipment != NULL ? bl_len (self->records) : 0; i-- > 0;)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->kind != BL_RECORD_READING || record->struck || record->subject == NULL
          || !g_hash_table_add (later, record->subject))
        continue;
      if (denies (self, record))
        return record->subject;
    }
  return NULL;
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
        if (!denies (self, bl_at (self->records, i)))
          return FALSE;
        break;
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
note_direction (BlBench *self, gint64 job, gint64 id, GError **error)
{
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (self->library, id, error);
  g_autofree char *text = NULL;

  if (equipment == NULL)
    return FALSE;
  text = g_strdup_printf (_ ("Supply direction: %s"), equipment->title != NULL ? equipment->title : "");
  return bl_bench_note_in (self, job, text, error);
}

static gboolean
strike_denials (BlBench *self, GError **error)
{
  for (guint i = 0; i < bl_len (self->records); i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (!record->struck && denies (self, record)
          && !bl_library_strike (self->library, record->id, TRUE, _ ("asked the other way round in the other supply direction"),
                                 error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
save_equipment (BlBench *self, gint64 equipment, GError **error)
{
  g_autoptr (BlJob) job = bl_library_load_job (self->library, self->job->id, error);

  if (job == NULL)
    return FALSE;
  gboolean other = job->equipment != equipment;
  job->equipment = equipment;
  return bl_library_save_job (self->library, job, error) && (!other || strike_denials (self, error))
         && note_direction (self, job->id, equipment, error);
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


static gboolean
begin_other (BlBench *self, BlJob *job, GError **error)
{
  if (bl_library_add_job (self->library, job, error) == 0)
    return FALSE;
  g_autofree char *here = g_strdup_printf (_ ("The supply direction is the other one: gone on with in job %d"), job->number);
  g_autofree char *there = g_strdup_printf (_ ("Begun from job %d, where the supply direction was the other one"),
                                            self->job->number);
  return bl_bench_note_in (self, self->job->id, here, error) && bl_bench_note_in (self, job->id, there, error)
         && note_direction (self, job->id, job->equipment, error);
}

gint64
bl_bench_begin_other_direction (BlBench *self, gint64 equipment, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && self->equipment != NULL, 0);
  const char *doing = _ ("beginning a job for the other supply direction");
  g_autoptr (BlJob) job = bl_job_new ();

  bl_bench_take_head (job, self->job);
  job->number = 0;
  job->equipment = equipment;
  if (!bl_library_begin (self->library, doing, error)
      || !bl_library_end (self->library, begin_other (self, job, error), doing, error) || !bl_bench_reload (self, error))
    return 0;
  return job->id;
}
