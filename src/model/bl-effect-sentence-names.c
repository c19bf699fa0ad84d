/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The names of a board that can stand at a place of an effect sentence. All that fit are found, the longest
 * first: "12 V rail" is not the "12 V" of another measurement. A board has some hundred names. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  const char *text;
  char *quoted; /* NULL: no quotation mark stands there */
  gsize quoted_length;
  GArray *names;
} Place;

static Place
place_at (const char *text)
{
  Place place = { text, NULL, 0, g_array_new (FALSE, FALSE, sizeof (BlNamed)) };

  place.quoted_length = bl_sentence_quoted (text, &place.quoted);
  return place;
}

static void
add_name (Place *place, const char *id, const char *name, int rank)
{
  BlNamed named = { id, 0, rank };

  if (name == NULL || *name == '\0')
    return;
  if (place->quoted != NULL)
    {
      gboolean same = strcmp (place->quoted, name) == 0;
      gsize length = bl_sentence_match (place->quoted, name);
      named.length = same || (length > 0 && length == strlen (place->quoted)) ? place->quoted_length : 0;
      named.rank += same ? 0 : 2;
    }
  else
    {
      named.length = bl_sentence_match (place->text, name);
      named.rank += strncmp (place->text, name, strlen (name)) == 0 ? 0 : 2;
    }
  if (named.length > 0)
    g_array_append_val (place->names, named);
}

static void
add (Place *place, const char *id, const char *title)
{
  add_name (place, id, id, 0);
  if (g_strcmp0 (id, title) != 0)
    add_name (place, id, title, 1);
}

static int
compare (gconstpointer one, gconstpointer two)
{
  const BlNamed *a = one, *b = two;

  if (a->length != b->length)
    return a->length > b->length ? -1 : 1;
  return a->rank - b->rank;
}

static GArray *
finish (Place *place)
{
  g_array_sort (place->names, compare);
  g_free (place->quoted);
  return place->names;
}

GArray *
bl_names_targets (const BlReader *reader, const char *text)
{
  Place place = place_at (text);
  gsize own = place.quoted == NULL ? bl_sentence_word (text, bl_words_own_stage) : 0;

  for (guint i = 0; i < bl_len (reader->board->stages); i++)
    {
      const BlStage *stage = bl_at (reader->board->stages, i);
      add (&place, stage->id, stage->title);
    }
  for (guint i = 0; i < bl_len (reader->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (reader->board->measurements, i);
      add (&place, measurement->id, measurement->title);
      add_name (&place, measurement->id, measurement->at, 1);
    }
  if (own > 0 && reader->component->stage != NULL)
    {
      BlNamed named = { reader->component->stage, own, 1 };
      g_array_append_val (place.names, named);
    }
  return finish (&place);
}

GArray *
bl_names_states (const BlReader *reader, const char *text)
{
  Place place = place_at (text);

  for (guint i = 0; i < bl_len (reader->board->states); i++)
    {
      const BlState *state = bl_at (reader->board->states, i);
      add (&place, state->id, state->title);
    }
  return finish (&place);
}

GArray *
bl_names_components (const BlReader *reader, const char *text)
{
  Place place = place_at (text);

  for (guint i = 0; i < bl_len (reader->board->components); i++)
    {
      const BlComponent *component = bl_at (reader->board->components, i);
      add (&place, component->id, component->title);
    }
  return finish (&place);
}

GArray *
bl_names_modes (const BlReader *reader, const char *id, const char *text)
{
  Place place = place_at (text);
  const BlComponent *component = bl_board_component (reader->board, id);

  for (guint i = 0; component != NULL && i < bl_len (component->modes); i++)
    add (&place, ((BlMode *) bl_at (component->modes, i))->mode, NULL);
  return finish (&place);
}

GArray *
bl_names_classes (const BlReader *reader, const char *on, const char *text)
{
  Place place = place_at (text);
  g_autofree const char **classes = bl_target_classes (reader->board, on);

  for (guint i = 0; classes[i] != NULL; i++)
    add (&place, classes[i], _ (classes[i]));
  return finish (&place);
}

const char **
bl_target_classes (const BlBoard *board, const char *on)
{
  const BlMeasurement *measurement = on != NULL ? bl_board_measurement (board, on) : NULL;
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  guint good = 0;

  if (measurement == NULL)
    for (guint d = 0; d < BL_N_DEVIATIONS; d++)
      g_ptr_array_add (names, (gpointer) bl_deviation_name ((BlDeviation) d));
  else if (measurement->measures < BL_N_MEASURES)
    {
      const char *const *classes = bl_measures_classes (measurement->measures, &good);
      for (guint i = 0; classes[i] != NULL; i++)
        if (i != good)
          g_ptr_array_add (names, (gpointer) classes[i]);
      for (guint i = 0; i < bl_len (measurement->expected.marks); i++)
        g_ptr_array_add (names, ((BlMark *) bl_at (measurement->expected.marks, i))->id);
    }
  g_ptr_array_add (names, NULL);
  return (const char **) g_ptr_array_free (g_steal_pointer (&names), FALSE);
}

const char *
bl_effect_target (const BlComponent *component, const BlEffect *effect)
{
  return effect->on != NULL ? effect->on : component->stage;
}

static gboolean
same_strings (char **a, char **b)
{
  static char *none[] = { NULL };

  return g_strv_equal ((const char *const *) (a != NULL ? a : none), (const char *const *) (b != NULL ? b : none));
}

gboolean
bl_effect_says_same (const BlComponent *component, const BlEffect *a, const BlEffect *b)
{
  return g_strcmp0 (bl_effect_target (component, a), bl_effect_target (component, b)) == 0 && same_strings (a->is, b->is)
         && same_strings (a->in, b->in);
}

gboolean
bl_is_fuse (const BlComponent *component)
{
  return component->kind != NULL
         && (g_str_has_prefix (component->kind, "fuse") || strcmp (component->kind, "resistor.fusible") == 0);
}
