/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The places of an equipment and their odds.
 *
 * A joined board is flat: what belongs to a board of the equipment has that board's role at the head of its id,
 * what has none belongs to a conductor, to a cable or to the equipment. The odds of a place are those of the union
 * of the own events there, out of the circuit of the diagnosis: places are not added up from components, for two
 * may have failed at once. A few places, some hundred modes each. */
#include "config.h"

#include "bl-places.h"

#include "bl-engine-private.h"
#include "bl-equipment.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

char *
bl_place_role (const char *id)
{
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  return slash != NULL ? g_strndup (id, (gsize) (slash - id)) : NULL;
}

const char *
bl_place_strip (const char *id, const char *role)
{
  gsize n = role != NULL ? strlen (role) : 0;

  return id != NULL && n > 0 && strncmp (id, role, n) == 0 && id[n] == '/' ? id + n + 1 : NULL;
}

/* --- Making --- */

static void
place_free (gpointer data)
{
  BlFaultPlace *place = data;

  g_free (place->id);
  g_free (place->title);
  g_strfreev (place->events);
  g_free (place);
}

void
bl_places_free (BlPlaces *places)
{
  if (places == NULL)
    return;
  g_clear_pointer (&places->places, g_ptr_array_unref);
  g_clear_pointer (&places->parts, g_ptr_array_unref);
  g_free (places);
}

static BlFaultPlace *
find_in (GPtrArray *list, const char *id)
{
  for (guint i = 0; i < bl_len (list); i++)
    if (g_str_equal (((BlFaultPlace *) bl_at (list, i))->id, id))
      return bl_at (list, i);
  return NULL;
}

const BlFaultPlace *
bl_places_find (const BlPlaces *places, const char *id)
{
  g_return_val_if_fail (places != NULL && id != NULL, NULL);
  BlFaultPlace *place = find_in (places->places, id);

  return place != NULL ? place : find_in (places->parts, id);
}

static BlFaultPlace *
need (GPtrArray *list, BlPlaceKind kind, const char *id)
{
  BlFaultPlace *place = find_in (list, id);

  if (place != NULL)
    return place;
  place = g_new0 (BlFaultPlace, 1);
  place->kind = kind;
  place->id = g_strdup (id);
  place->probability = NAN;
  place->index = list->len;
  g_ptr_array_add (list, place);
  return place;
}

/* Events gathered for each place while the board is gone through. */
typedef struct
{
  BlPlaces *places;
  GHashTable *events; /* BlFaultPlace -> GStrvBuilder */
} Gathering;

static void
add_event (Gathering *self, BlFaultPlace *place, const char *component, const char *mode)
{
  GStrvBuilder *builder = g_hash_table_lookup (self->events, place);
  g_autofree char *event = g_strconcat (component, ":", mode, NULL);

  if (builder == NULL)
    g_hash_table_insert (self->events, place, builder = g_strv_builder_new ());
  g_strv_builder_add (builder, event);
}

/* The place of what belongs to id, and for a conductor or cable also the one of all of them. */
static void
add_to_place (Gathering *self, const char *id, const char *title, const char *component, const char *mode)
{
  g_autofree char *role = bl_place_role (id);
  BlFaultPlace *place;

  if (role != NULL)
    {
      add_event (self, need (self->places->places, BL_PLACE_BOARD, role), component, mode);
      return;
    }
  place = need (self->places->parts, BL_PLACE_PART, id);
  if (place->title == NULL)
    place->title = g_strdup (title);
  add_event (self, place, component, mode);
  add_event (self, need (self->places->places, BL_PLACE_PARTS, BL_SHARE_OF_PARTS), component, mode);
}

gboolean
bl_board_is_joined (const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    if (strchr (((BlStage *) bl_at (board->stages, i))->id, '/') != NULL)
      return TRUE;
  return FALSE;
}

static void
gather (Gathering *self, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      for (guint j = 0; j < bl_len (component->modes); j++)
        add_to_place (self, component->id, component->title, component->id,
                      ((BlMode *) bl_at (component->modes, j))->mode);
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      g_autofree char *other = bl_stage_other_id (stage->id);
      for (int d = 0; d < BL_N_DEVIATIONS; d++)
        add_to_place (self, stage->id, stage->title, other, bl_deviation_name (d));
    }
}

BlPlaces *
bl_places_new (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  Gathering gathering = { NULL, NULL };
  GHashTableIter iter;
  gpointer place, builder;

  if (!bl_board_is_joined (board))
    return NULL;
  gathering.places = g_new0 (BlPlaces, 1);
  gathering.places->places = g_ptr_array_new_with_free_func (place_free);
  gathering.places->parts = g_ptr_array_new_with_free_func (place_free);
  gathering.places->none = gathering.places->pair = NAN;
  gathering.events = g_hash_table_new_full (NULL, NULL, NULL, (GDestroyNotify) g_strv_builder_unref);
  gather (&gathering, board);
  g_hash_table_iter_init (&iter, gathering.events);
  while (g_hash_table_iter_next (&iter, &place, &builder))
    ((BlFaultPlace *) place)->events = g_strv_builder_end (builder);
  g_hash_table_unref (gathering.events);
  return gathering.places;
}

/* --- Odds --- */

/* Nodes of the own events of the last round, of the place or of both. */
static double
weigh (BlEngine *engine, const BlFaultPlace *one, const BlFaultPlace *other)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  const BlFaultPlace *both[] = { one, other };

  for (guint i = 0; i < G_N_ELEMENTS (both); i++)
    for (char **event = both[i] != NULL ? both[i]->events : NULL; event != NULL && *event != NULL; event++)
      {
        char *colon = strchr (*event, ':');
        g_autofree char *id = g_strndup (*event, (gsize) (colon - *event));
        int part = bl_causes_find (engine->causes->part_index, id);
        int mode = part < 0 ? -1 : bl_causes_mode (engine->causes, (guint) part, colon + 1);
        if (mode >= 0)
          g_array_append_val (nodes, engine->compiled->own[mode]);
      }
  return bl_odds_any (engine->compiled, nodes);
}

static int
compare_places (gconstpointer a, gconstpointer b)
{
  const BlFaultPlace *x = *(BlFaultPlace *const *) a, *y = *(BlFaultPlace *const *) b;

  if (x->probability != y->probability)
    return x->probability > y->probability ? -1 : 1;
  return x->index < y->index ? -1 : x->index > y->index;
}

/* The two likeliest, none of them counted as one. */
static void
choose_two (BlPlaces *self)
{
  const BlFaultPlace *one = self->places->len > 0 ? bl_at (self->places, 0) : NULL;
  const BlFaultPlace *two = self->places->len > 1 ? bl_at (self->places, 1) : NULL;

  if (one == NULL || self->none > one->probability)
    {
      self->first = NULL;
      self->second = one;
    }
  else
    {
      self->first = one;
      self->second = two == NULL || self->none > two->probability ? NULL : two;
    }
}

static void
conclude (BlEngine *engine, BlPlaces *self)
{
  double first, second;

  choose_two (self);
  first = self->first != NULL ? self->first->probability : self->none;
  second = self->second != NULL ? self->second->probability : self->none;
  /* Nothing on any place excludes a fault on one. */
  if (self->first != NULL && self->second != NULL)
    self->pair = weigh (engine, self->first, self->second);
  else
    self->pair = MIN (first + second, 1);
  if (first >= BL_PLACES_SURE)
    self->verdict = self->first == NULL       ? BL_PLACES_NONE
                    : second < BL_PLACES_SURE ? BL_PLACES_ISOLATED
                                              : BL_PLACES_SEVERAL;
  else
    self->verdict = self->pair >= BL_PLACES_SURE ? BL_PLACES_BETWEEN : BL_PLACES_OPEN;
}

gboolean
bl_places (BlEngine *engine, BlDiagnosis *diagnosis, GError **error)
{
  g_autoptr (BlPlaces) self = bl_places_new (engine->board);
  g_autoptr (GArray) nodes = NULL;

  if (self == NULL)
    return TRUE;
  for (guint i = 0; i < self->places->len + self->parts->len; i++)
    {
      BlFaultPlace *place = i < self->places->len ? bl_at (self->places, i) : bl_at (self->parts, i - self->places->len);
      if (bl_engine_cancelled (engine, error))
        return FALSE;
      place->probability = weigh (engine, place, NULL);
    }
  nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_vals (nodes, engine->compiled->own, engine->causes->modes->len);
  self->none = MAX (1 - bl_odds_any (engine->compiled, nodes), 0);
  g_ptr_array_sort (self->places, compare_places);
  g_ptr_array_sort (self->parts, compare_places);
  conclude (engine, self);
  diagnosis->places = g_steal_pointer (&self);
  return TRUE;
}

/* --- Words --- */

char *
bl_place_words (const BlFaultPlace *place)
{
  if (place == NULL)
    return g_strdup (_("elsewhere"));
  if (place->kind == BL_PLACE_BOARD)
    return g_strdup_printf (_("%s board"), place->id);
  if (place->kind == BL_PLACE_PARTS)
    return g_strdup (_("conductors"));
  return place->title != NULL ? g_strdup_printf ("%s, %s", place->id, place->title) : g_strdup (place->id);
}

char *
bl_places_words (const BlPlaces *places)
{
  g_return_val_if_fail (places != NULL, NULL);
  g_autofree char *first = bl_place_words (places->first), *second = bl_place_words (places->second);

  switch (places->verdict)
    {
    case BL_PLACES_ISOLATED:
      return g_strdup_printf (_("Isolated: %s."), first);
    case BL_PLACES_SEVERAL:
      return g_strdup_printf (_("More than one fault: %s and %s."), first, second);
    case BL_PLACES_NONE:
      return g_strdup (_("On none of the boards and conductors."));
    case BL_PLACES_BETWEEN:
      return g_strdup_printf (_("One of two: %s or %s."), first, second);
    case BL_PLACES_OPEN:
    default:
      return g_strdup_printf (_("Not isolated yet: likeliest %s, then %s."), first, second);
    }
}
