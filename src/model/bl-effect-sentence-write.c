/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes a failure mode as a sentence. Whatever is written is read back before it goes out: a clause whose names
 * could be taken for others is written with ids in quotation marks instead. Titles are what a technician reads;
 * long ones would make the sentence longer than its sense, those give way to the id. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define LONGEST_TITLE 34 /* characters */

/* --- the same --- */

static gboolean
same_figure (double a, double b)
{
  return (isnan (a) && isnan (b)) || a == b;
}

static gboolean
same_shows (const GArray *a, const GArray *b)
{
  guint n = a != NULL ? a->len : 0;

  if (n != (b != NULL ? b->len : 0))
    return FALSE;
  for (guint i = 0; i < n; i++)
    {
      const BlShows *one = &g_array_index (a, BlShows, i), *two = &g_array_index (b, BlShows, i);
      if (strcmp (one->condition, two->condition) != 0 || one->chance != two->chance)
        return FALSE;
    }
  return TRUE;
}

gboolean
bl_mode_says_same (const BlComponent *component, const BlMode *a, const BlMode *b)
{
  g_return_val_if_fail (component != NULL && a != NULL && b != NULL, FALSE);
  if (g_strcmp0 (a->mode, b->mode) != 0 || !same_figure (a->weight, b->weight)
      || bl_len (a->effects) != bl_len (b->effects) || bl_len (a->provokes) != bl_len (b->provokes)
      || !same_shows (a->shows, b->shows))
    return FALSE;
  for (guint i = 0; i < bl_len (a->effects); i++)
    if (!bl_effect_says_same (component, bl_at (a->effects, i), bl_at (b->effects, i)))
      return FALSE;
  for (guint i = 0; i < bl_len (a->provokes); i++)
    {
      const BlProvokes *one = bl_at (a->provokes, i), *two = bl_at (b->provokes, i);
      if (g_strcmp0 (one->component, two->component) != 0 || g_strcmp0 (one->mode, two->mode) != 0
          || !same_figure (one->chance, two->chance))
        return FALSE;
    }
  return TRUE;
}

/* --- names --- */

typedef struct
{
  const BlBoard *board;
  const BlComponent *component;
  const BlMode *mode;
  gboolean strict; /* every name as an id in quotation marks */
} Writer;

/* The name a reader takes for this id and no other. (transfer full) */
static char *
name_of (const Writer *self, const char *id, const char *title,
         GArray *(*find) (const BlReader *reader, const char *text))
{
  BlReader reader = { self->board, self->component, "", "" };

  if (self->strict || title == NULL || *title == '\0' || g_utf8_strlen (title, -1) > LONGEST_TITLE)
    return bl_sentence_quote (id, self->strict);
  g_autofree char *text = bl_sentence_quote (title, FALSE);
  g_autoptr (GArray) found = find (&reader, text);
  gboolean clear = found->len > 0 && g_strcmp0 (g_array_index (found, BlNamed, 0).id, id) == 0
                   && g_array_index (found, BlNamed, 0).length == strlen (text);
  for (guint i = 1; clear && i < found->len; i++)
    clear = g_array_index (found, BlNamed, i).length < strlen (text)
            || g_strcmp0 (g_array_index (found, BlNamed, i).id, id) == 0;
  return clear ? g_steal_pointer (&text) : bl_sentence_quote (id, FALSE);
}

static char *
target_name (const Writer *self, const char *id)
{
  const BlStage *stage = bl_board_stage (self->board, id);
  const BlMeasurement *measurement = bl_board_measurement (self->board, id);

  return name_of (self, id, stage != NULL ? stage->title : measurement != NULL ? measurement->title : NULL,
                  bl_names_targets);
}

static void
add_states (const Writer *self, GString *text, char **states)
{
  for (guint i = 0; states != NULL && states[i] != NULL; i++)
    {
      const BlState *state = bl_board_state (self->board, states[i]);
      g_autofree char *name = name_of (self, states[i], state != NULL ? state->title : NULL, bl_names_states);
      g_string_append_printf (text, " %s %s", i == 0 ? C_ ("sentence", "in") : C_ ("sentence", "or"), name);
    }
}

/* A mark of a measurement is quoted, so that it is seen to be one. */
static char *
class_name (const Writer *self, const char *on, const char *name)
{
  const BlMeasurement *measurement = bl_board_measurement (self->board, on);

  for (guint i = 0; measurement != NULL && i < bl_len (measurement->expected.marks); i++)
    if (g_strcmp0 (((BlMark *) bl_at (measurement->expected.marks, i))->id, name) == 0)
      return bl_sentence_quote (name, TRUE);
  return bl_sentence_quote (self->strict ? name : _ (name), self->strict);
}

/* --- clauses --- */

static void
begin_clause (GString *text)
{
  if (text->len > 0)
    g_string_append (text, ", ");
}

static void
add_effect (const Writer *self, GString *text, const BlEffect *effect)
{
  const char *on = bl_effect_target (self->component, effect);
  g_autofree char *target = target_name (self, on);

  begin_clause (text);
  g_string_append (text, target);
  for (guint i = 0; effect->is != NULL && effect->is[i] != NULL; i++)
    {
      g_autofree char *name = class_name (self, on, effect->is[i]);
      if (i > 0)
        g_string_append_printf (text, " %s", C_ ("sentence", "or"));
      g_string_append_printf (text, " %s", name);
    }
  add_states (self, text, effect->in);
}

static void
add_provokes (const Writer *self, GString *text, const BlProvokes *link)
{
  const BlComponent *of = bl_board_component (self->board, link->component);
  gboolean blows = of != NULL && bl_is_fuse (of) && g_strcmp0 (link->mode, "open") == 0, may = link->chance < 1;
  g_autofree char *component = bl_sentence_quote (link->component, self->strict);
  g_autofree char *mode = blows && !self->strict ? g_strdup ("") : bl_sentence_quote (link->mode, self->strict);

  begin_clause (text);
  if (text->len > 0)
    g_string_append_printf (text, "%s ", _ ("and"));
  if (may)
    g_string_append_printf (text, "%s %s", _ ("may"), blows ? _ ("blow") : _ ("bring about"));
  else
    g_string_append (text, blows ? _ ("blows") : _ ("brings about"));
  g_string_append_printf (text, " %s%s%s", component, *mode != '\0' ? " " : "", mode);
  if (!isnan (link->chance))
    {
      g_autofree char *chance = bl_sentence_chance_text (link->chance);
      g_string_append_printf (text, " (%s)", chance);
    }
}

static void
add_shows (const Writer *self, GString *text)
{
  const GArray *shows = self->mode->shows;

  for (guint i = 0; shows != NULL && i < shows->len; i++)
    {
      const BlShows *show = &g_array_index (shows, BlShows, i);
      g_autofree char *chance = bl_sentence_chance_text (show->chance);
      g_autofree char *condition = bl_sentence_quote (show->condition, self->strict);
      begin_clause (text);
      if (i == 0)
        g_string_append_printf (text, "%s ", _ ("shows"));
      g_string_append (text, chance);
      if (*show->condition == '\0')
        g_string_append_printf (text, " %s", _ ("of the time"));
      else
        g_string_append_printf (text, " %s %s", _ ("when"), condition);
    }
}

static void
add_weight (const Writer *self, GString *text)
{
  if (isnan (self->mode->weight))
    return;
  g_autofree char *figure = bl_sentence_figure_text (self->mode->weight);
  begin_clause (text);
  g_string_append_printf (text, "%s %s", _ ("weight"), figure);
}

static char *
write_mode (const Writer *self)
{
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *name = bl_sentence_quote (self->mode->mode, self->strict);

  if (bl_len (self->mode->effects) == 0)
    g_string_append (text, _ ("nothing said"));
  for (guint i = 0; i < bl_len (self->mode->effects); i++)
    add_effect (self, text, bl_at (self->mode->effects, i));
  for (guint i = 0; i < bl_len (self->mode->provokes); i++)
    add_provokes (self, text, bl_at (self->mode->provokes, i));
  add_shows (self, text);
  add_weight (self, text);
  return g_strdup_printf ("%s → %s", name, text->str);
}

char *
bl_mode_sentence (const BlBoard *board, const BlComponent *component, const BlMode *mode)
{
  g_return_val_if_fail (board != NULL && component != NULL && mode != NULL, NULL);
  Writer writer = { board, component, mode, FALSE };
  g_autofree char *text = write_mode (&writer);
  g_autoptr (BlMode) back = bl_mode_from_sentence (board, component, text, NULL, NULL);

  if (back != NULL && bl_mode_says_same (component, mode, back))
    return g_steal_pointer (&text);
  writer.strict = TRUE;
  return write_mode (&writer);
}
