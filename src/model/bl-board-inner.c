/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Renaming and removing what is named inside an element or has few references: ports, symptoms,
 * failure modes, marks. As in bl-board-edit.c no reference is left dangling.
 */
#include "config.h"

#include "bl-board-edit.h"

#include <string.h>

static void
set_text (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static int
index_of (const GPtrArray *array, const char *id)
{
  for (guint i = 0; i < bl_len (array); i++)
    if (g_strcmp0 (*(char **) bl_at (array, i), id) == 0)
      return (int) i;
  return -1;
}

/* --- ports --- */

static void
change_port (BlBoard *board, const char *id, const char *new_id)
{
  g_autofree char *from = g_strconcat ("port:", id, NULL);
  g_autofree char *to = new_id != NULL ? g_strconcat ("port:", new_id, NULL) : NULL;

  for (guint s = 0; s < bl_len (board->stages); s++)
    {
      BlStage *stage = bl_at (board->stages, s);
      for (guint f = bl_len (stage->feeds); f > 0; f--)
        {
          BlFeed *feed = bl_at (stage->feeds, f - 1);
          if (g_strcmp0 (feed->from, from) != 0)
            continue;
          if (to != NULL)
            set_text (&feed->from, to);
          else
            g_ptr_array_remove_index (stage->feeds, f - 1);
        }
      if (stage->need > (int) bl_len (stage->feeds))
        stage->need = BL_NEED_LEFT_OUT;
    }
}

void
bl_board_rename_port (BlBoard *board, const char *id, const char *new_id)
{
  BlPort *port = bl_board_port (board, id);
  g_return_if_fail (port != NULL);

  change_port (board, id, new_id);
  set_text (&port->id, new_id);
}

void
bl_board_remove_port (BlBoard *board, const char *id)
{
  int index = index_of (board->ports, id);
  g_return_if_fail (index >= 0);

  change_port (board, id, NULL);
  g_ptr_array_remove_index (board->ports, (guint) index);
}

/* --- symptoms --- */

void
bl_board_rename_symptom (BlBoard *board, const char *id, const char *new_id)
{
  BlSymptom *symptom = bl_board_symptom (board, id);
  g_return_if_fail (symptom != NULL);

  for (guint i = 0; i < bl_len (board->indications); i++)
    {
      BlIndication *indication = bl_at (board->indications, i);
      if (g_strcmp0 (indication->symptom, id) == 0)
        set_text (&indication->symptom, new_id);
    }
  set_text (&symptom->id, new_id);
}

void
bl_board_remove_symptom (BlBoard *board, const char *id)
{
  int index = index_of (board->symptoms, id);
  g_return_if_fail (index >= 0);

  for (guint i = bl_len (board->indications); i > 0; i--)
    if (g_strcmp0 (((BlIndication *) bl_at (board->indications, i - 1))->symptom, id) == 0)
      g_ptr_array_remove_index (board->indications, i - 1);
  g_ptr_array_remove_index (board->symptoms, (guint) index);
}

/* --- modes --- */

static void
change_mode (BlBoard *board, const char *component, const char *mode, const char *new_mode)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *other = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (other->modes); m++)
        {
          BlMode *cause = bl_at (other->modes, m);
          for (guint p = bl_len (cause->provokes); p > 0; p--)
            {
              BlProvokes *link = bl_at (cause->provokes, p - 1);
              if (g_strcmp0 (link->component, component) != 0 || g_strcmp0 (link->mode, mode) != 0)
                continue;
              if (new_mode != NULL)
                set_text (&link->mode, new_mode);
              else
                g_ptr_array_remove_index (cause->provokes, p - 1);
            }
        }
    }
}

void
bl_board_rename_mode (BlBoard *board, const char *component, const char *mode, const char *new_mode)
{
  BlMode *found = bl_component_mode (bl_board_component (board, component), mode);
  g_return_if_fail (found != NULL);

  change_mode (board, component, mode, new_mode);
  set_text (&found->mode, new_mode);
}

void
bl_board_remove_mode (BlBoard *board, const char *component, const char *mode)
{
  BlComponent *owner = bl_board_component (board, component);
  int index = owner != NULL ? index_of (owner->modes, mode) : -1;
  g_return_if_fail (index >= 0);

  change_mode (board, component, mode, NULL);
  g_ptr_array_remove_index (owner->modes, (guint) index);
}

/* --- marks --- */

/* Renames or drops a class in a list of classes; TRUE when nothing is left in it. */
static gboolean
change_class (char **is, const char *name, const char *new_name)
{
  guint to = 0;

  for (guint from = 0; is != NULL && is[from] != NULL; from++)
    {
      if (strcmp (is[from], name) != 0)
        {
          is[to++] = is[from];
          continue;
        }
      g_free (is[from]);
      if (new_name != NULL)
        is[to++] = g_strdup (new_name);
    }
  if (is != NULL)
    is[to] = NULL;
  return to == 0;
}

static void
change_mark (BlBoard *board, const char *measurement, const char *mark, const char *new_mark)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          for (guint e = bl_len (mode->effects); e > 0; e--)
            {
              const BlEffect *effect = bl_at (mode->effects, e - 1);
              if (g_strcmp0 (effect->on, measurement) == 0 && change_class (effect->is, mark, new_mark))
                g_ptr_array_remove_index (mode->effects, e - 1);
            }
        }
    }
  for (guint s = 0; s < bl_len (board->symptoms); s++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, s);
      for (guint w = bl_len (symptom->when); w > 0; w--)
        {
          const BlWhen *when = bl_at (symptom->when, w - 1);
          if (g_strcmp0 (when->on, measurement) == 0 && change_class (when->is, mark, new_mark))
            g_ptr_array_remove_index (symptom->when, w - 1);
        }
    }
}

void
bl_board_rename_mark (BlBoard *board, const char *measurement, const char *mark, const char *new_mark)
{
  BlMeasurement *owner = bl_board_measurement (board, measurement);
  int index = owner != NULL ? index_of (owner->expected.marks, mark) : -1;
  g_return_if_fail (index >= 0);

  change_mark (board, measurement, mark, new_mark);
  set_text (&((BlMark *) bl_at (owner->expected.marks, (guint) index))->id, new_mark);
}

void
bl_board_remove_mark (BlBoard *board, const char *measurement, const char *mark)
{
  BlMeasurement *owner = bl_board_measurement (board, measurement);
  int index = owner != NULL ? index_of (owner->expected.marks, mark) : -1;
  g_return_if_fail (index >= 0);

  change_mark (board, measurement, mark, NULL);
  g_ptr_array_remove_index (owner->expected.marks, (guint) index);
}

/* --- feeds --- */

/* TRUE when the output of stage depends on that of other (or is it). */
static gboolean
depends (const BlBoard *board, const char *stage, const char *other, guint depth)
{
  const BlStage *found = bl_board_stage (board, stage);

  if (g_strcmp0 (stage, other) == 0)
    return TRUE;
  for (guint i = 0; found != NULL && depth > 0 && i < bl_len (found->feeds); i++)
    if (depends (board, ((BlFeed *) bl_at (found->feeds, i))->from, other, depth - 1))
      return TRUE;
  return FALSE;
}

static gboolean
has_feed (const BlStage *stage, const char *from)
{
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    if (g_strcmp0 (((BlFeed *) bl_at (stage->feeds, i))->from, from) == 0)
      return TRUE;
  return FALSE;
}

char *
bl_board_possible_feed (const BlBoard *board, const BlStage *stage)
{
  guint n = bl_len (board->stages), own = 0;

  while (own < n && bl_at (board->stages, own) != stage)
    own++;
  for (guint i = 1; i < n; i++)
    {
      const BlStage *other = bl_at (board->stages, i <= own ? own - i : i);
      if (!has_feed (stage, other->id) && !depends (board, other->id, stage->id, n))
        return g_strdup (other->id);
    }
  for (guint i = 0; i < bl_len (board->ports); i++)
    {
      g_autofree char *from = g_strconcat ("port:", ((BlPort *) bl_at (board->ports, i))->id, NULL);
      if (!has_feed (stage, from))
        return g_steal_pointer (&from);
    }
  return NULL;
}
