/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Renaming and removing elements of a board in memory so that no reference is left dangling. All
 * references of one kind are found in one place, refs_of (): a new reference in the document needs one
 * line there. Boards have hundreds of elements; plain walks are quick enough.
 */
#include "config.h"

#include "bl-board-edit.h"

#include <string.h>

static const char *const kind_names[BL_N_KINDS] = { "state",     "photo",      "section",    "stage",
                                                    "component", "test point", "measurement" };

gboolean
bl_kind_parse (const char *name, BlKind *kind)
{
  for (guint i = 0; i < BL_N_KINDS; i++)
    if (g_strcmp0 (name, kind_names[i]) == 0)
      {
        *kind = i;
        return TRUE;
      }
  return FALSE;
}

static GPtrArray *
elements (const BlBoard *board, BlKind kind)
{
  switch (kind)
    {
    case BL_KIND_STATE:
      return board->states;
    case BL_KIND_PHOTO:
      return board->photos;
    case BL_KIND_SECTION:
      return board->sections;
    case BL_KIND_STAGE:
      return board->stages;
    case BL_KIND_COMPONENT:
      return board->components;
    case BL_KIND_TEST_POINT:
      return board->test_points;
    case BL_KIND_MEASUREMENT:
      return board->measurements;
    case BL_N_KINDS:
    default:
      g_assert_not_reached ();
    }
}

/* Every element struct begins with its id. */
static char **
id_of (gpointer element)
{
  return element;
}

static int
find (const BlBoard *board, BlKind kind, const char *id)
{
  GPtrArray *list = elements (board, kind);
  for (guint i = 0; i < bl_len (list); i++)
    if (g_strcmp0 (*id_of (bl_at (list, i)), id) == 0)
      return (int) i;
  return -1;
}

gboolean
bl_board_has (const BlBoard *board, BlKind kind, const char *id)
{
  return find (board, kind, id) >= 0;
}

static gboolean
is_taken (const BlBoard *board, BlKind kind, const char *id)
{
  if (kind == BL_KIND_STAGE || kind == BL_KIND_MEASUREMENT)
    return bl_board_has (board, BL_KIND_STAGE, id) || bl_board_has (board, BL_KIND_MEASUREMENT, id);
  return bl_board_has (board, kind, id);
}

char *
bl_board_free_id (const BlBoard *board, BlKind kind, const char *prefix)
{
  for (guint n = 1;; n++)
    {
      g_autofree char *id = g_strdup_printf ("%s%u", prefix, n);
      if (!is_taken (board, kind, id))
        return g_steal_pointer (&id);
    }
}

static void
add_list (GPtrArray *refs, char **list)
{
  for (guint i = 0; list != NULL && list[i] != NULL; i++)
    g_ptr_array_add (refs, &list[i]);
}

static void
add_effect_refs (GPtrArray *refs, const BlBoard *board, gboolean states)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          for (guint e = 0; e < bl_len (mode->effects); e++)
            {
              BlEffect *effect = bl_at (mode->effects, e);
              if (states)
                add_list (refs, effect->in);
              else
                g_ptr_array_add (refs, &effect->on);
            }
        }
    }
}

static void
add_when_refs (GPtrArray *refs, const BlBoard *board)
{
  for (guint s = 0; s < bl_len (board->symptoms); s++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, s);
      for (guint w = 0; w < bl_len (symptom->when); w++)
        g_ptr_array_add (refs, &((BlWhen *) bl_at (symptom->when, w))->on);
    }
}

static void
add_when_states (GPtrArray *refs, const BlBoard *board)
{
  for (guint s = 0; s < bl_len (board->symptoms); s++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, s);
      for (guint w = 0; w < bl_len (symptom->when); w++)
        g_ptr_array_add (refs, &((BlWhen *) bl_at (symptom->when, w))->state);
    }
}

static void
add_outline_refs (GPtrArray *refs, GPtrArray *outlines)
{
  for (guint i = 0; i < bl_len (outlines); i++)
    g_ptr_array_add (refs, &((BlOutline *) bl_at (outlines, i))->photo);
}

static void
add_photo_refs (GPtrArray *refs, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->sections); i++)
    add_outline_refs (refs, ((BlSection *) bl_at (board->sections, i))->outlines);
  for (guint i = 0; i < bl_len (board->stages); i++)
    add_outline_refs (refs, ((BlStage *) bl_at (board->stages, i))->outlines);
  for (guint i = 0; i < bl_len (board->components); i++)
    g_ptr_array_add (refs, &((BlComponent *) bl_at (board->components, i))->photo);
  for (guint i = 0; i < bl_len (board->test_points); i++)
    g_ptr_array_add (refs, &((BlTestPoint *) bl_at (board->test_points, i))->photo);
}

static void
add_stage_refs (GPtrArray *refs, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      for (guint f = 0; f < bl_len (stage->feeds); f++)
        g_ptr_array_add (refs, &((BlFeed *) bl_at (stage->feeds, f))->from);
    }
  for (guint i = 0; i < bl_len (board->components); i++)
    g_ptr_array_add (refs, &((BlComponent *) bl_at (board->components, i))->stage);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    g_ptr_array_add (refs, &((BlMeasurement *) bl_at (board->measurements, i))->reads);
  add_effect_refs (refs, board, FALSE);
  add_when_refs (refs, board);
}

static void
add_provokes_refs (GPtrArray *refs, const BlBoard *board)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          for (guint p = 0; p < bl_len (mode->provokes); p++)
            g_ptr_array_add (refs, &((BlProvokes *) bl_at (mode->provokes, p))->component);
        }
    }
}

/* What holds a charge in a state, and what takes it away. */
static void
add_charge_refs (GPtrArray *refs, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      BlState *state = bl_at (board->states, i);
      g_ptr_array_add (refs, &state->capacitor);
      g_ptr_array_add (refs, &state->bleeder);
    }
}

static void
add_measurement_refs (GPtrArray *refs, const BlBoard *board)
{
  add_effect_refs (refs, board, FALSE);
  for (guint i = 0; i < bl_len (board->states); i++)
    add_list (refs, ((BlState *) bl_at (board->states, i))->dead_proof);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlFollows *follows = ((BlMeasurement *) bl_at (board->measurements, i))->expected.follows;
      if (follows != NULL)
        g_ptr_array_add (refs, &follows->measurement);
    }
}

/* Every place (char **) that may name an element of this kind. (transfer full) */
static GPtrArray *
refs_of (const BlBoard *board, BlKind kind)
{
  GPtrArray *refs = g_ptr_array_new ();
  switch (kind)
    {
    case BL_KIND_STATE:
      add_effect_refs (refs, board, TRUE);
      for (guint i = 0; i < bl_len (board->measurements); i++)
        g_ptr_array_add (refs, &((BlMeasurement *) bl_at (board->measurements, i))->state);
      add_when_states (refs, board);
      break;
    case BL_KIND_PHOTO:
      add_photo_refs (refs, board);
      break;
    case BL_KIND_SECTION:
      for (guint i = 0; i < bl_len (board->stages); i++)
        g_ptr_array_add (refs, &((BlStage *) bl_at (board->stages, i))->section);
      break;
    case BL_KIND_STAGE:
      add_stage_refs (refs, board);
      break;
    case BL_KIND_COMPONENT:
      add_provokes_refs (refs, board);
      add_charge_refs (refs, board);
      break;
    case BL_KIND_TEST_POINT:
      for (guint i = 0; i < bl_len (board->measurements); i++)
        {
          BlMeasurement *measurement = bl_at (board->measurements, i);
          g_ptr_array_add (refs, &measurement->at);
          g_ptr_array_add (refs, &measurement->black);
        }
      break;
    case BL_KIND_MEASUREMENT:
      add_measurement_refs (refs, board);
      break;
    case BL_N_KINDS:
    default:
      g_assert_not_reached ();
    }
  return refs;
}

void
bl_board_rename (BlBoard *board, BlKind kind, const char *id, const char *new_id)
{
  int index = find (board, kind, id);
  g_return_if_fail (index >= 0);
  g_autofree char *old = g_strdup (id);
  g_autoptr (GPtrArray) refs = refs_of (board, kind);

  char **own = id_of (bl_at (elements (board, kind), (guint) index));
  g_free (*own);
  *own = g_strdup (new_id);
  for (guint i = 0; i < refs->len; i++)
    {
      char **ref = bl_at (refs, i);
      if (g_strcmp0 (*ref, old) == 0)
        {
          g_free (*ref);
          *ref = g_strdup (new_id);
        }
    }
}

/* Takes name out of a NULL-terminated list. */
static void
drop_from_list (char **list, const char *name)
{
  guint to = 0;
  if (list == NULL)
    return;
  for (guint from = 0; list[from] != NULL; from++)
    if (strcmp (list[from], name) == 0)
      g_free (list[from]);
    else
      list[to++] = list[from];
  list[to] = NULL;
}

#define REMOVE_WHERE(array, Type, item, condition)                                                 \
  for (guint item##_i = bl_len (array); item##_i > 0; item##_i--)                                  \
    {                                                                                              \
      Type *item = bl_at ((array), item##_i - 1);                                                  \
      if (condition)                                                                               \
        g_ptr_array_remove_index ((array), item##_i - 1);                                          \
    }

/* Effects on a stage or measurement that is going away; an effect limited to one state goes with it. */
static void
drop_effects (BlBoard *board, BlKind kind, const char *id)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          BlMode *mode = bl_at (component->modes, m);
          for (guint e = bl_len (mode->effects); e > 0; e--)
            {
              BlEffect *effect = bl_at (mode->effects, e - 1);
              gboolean had_states = effect->in != NULL && effect->in[0] != NULL;
              if (kind == BL_KIND_STATE)
                drop_from_list (effect->in, id);
              if (kind == BL_KIND_STATE ? had_states && effect->in[0] == NULL : g_strcmp0 (effect->on, id) == 0)
                g_ptr_array_remove_index (mode->effects, e - 1);
            }
        }
    }
}

static void
drop_when (BlBoard *board, BlKind kind, const char *id)
{
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    {
      BlSymptom *symptom = bl_at (board->symptoms, i);
      REMOVE_WHERE (symptom->when, BlWhen, when,
                    g_strcmp0 (kind == BL_KIND_STATE ? when->state : when->on, id) == 0)
    }
}

static void
remove_component_refs (BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      BlState *state = bl_at (board->states, i);
      if (g_strcmp0 (state->capacitor, id) == 0)
        g_clear_pointer (&state->capacitor, g_free);
      if (g_strcmp0 (state->bleeder, id) == 0)
        g_clear_pointer (&state->bleeder, g_free);
    }
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          BlMode *mode = bl_at (component->modes, m);
          REMOVE_WHERE (mode->provokes, BlProvokes, link, g_strcmp0 (link->component, id) == 0)
        }
    }
}

static void
remove_stage_refs (BlBoard *board, const char *id)
{
  drop_effects (board, BL_KIND_STAGE, id);
  drop_when (board, BL_KIND_STAGE, id);
  for (guint i = bl_len (board->components); i > 0; i--)
    {
      g_autofree char *component = g_strdup (((BlComponent *) bl_at (board->components, i - 1))->id);
      if (g_strcmp0 (((BlComponent *) bl_at (board->components, i - 1))->stage, id) == 0)
        bl_board_remove (board, BL_KIND_COMPONENT, component);
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      BlStage *stage = bl_at (board->stages, i);
      REMOVE_WHERE (stage->feeds, BlFeed, feed, g_strcmp0 (feed->from, id) == 0)
      if (stage->need > (int) bl_len (stage->feeds))
        stage->need = BL_NEED_LEFT_OUT;
    }
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->reads, id) == 0)
        g_clear_pointer (&measurement->reads, g_free);
    }
}

static void
remove_section_refs (BlBoard *board, const char *id)
{
  for (guint i = bl_len (board->stages); i > 0; i--)
    {
      const BlStage *stage = bl_at (board->stages, i - 1);
      g_autofree char *name = g_strdup (stage->id);
      if (g_strcmp0 (stage->section, id) == 0)
        bl_board_remove (board, BL_KIND_STAGE, name);
    }
}

static void
remove_measurement_refs (BlBoard *board, const char *id)
{
  drop_effects (board, BL_KIND_MEASUREMENT, id);
  drop_when (board, BL_KIND_MEASUREMENT, id);
  for (guint i = 0; i < bl_len (board->states); i++)
    drop_from_list (((BlState *) bl_at (board->states, i))->dead_proof, id);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlExpected *expected = &((BlMeasurement *) bl_at (board->measurements, i))->expected;
      if (expected->follows != NULL && g_strcmp0 (expected->follows->measurement, id) == 0)
        g_clear_pointer (&expected->follows, bl_follows_free);
    }
}

/* Measurements for which unwanted () holds, each with what hangs on it. */
static void
remove_measurements_where (BlBoard *board, gboolean (*unwanted) (const BlMeasurement *, const char *), const char *id)
{
  for (guint i = bl_len (board->measurements); i > 0; i--)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i - 1);
      g_autofree char *name = g_strdup (measurement->id);
      if (unwanted (measurement, id))
        bl_board_remove (board, BL_KIND_MEASUREMENT, name);
    }
}

static gboolean
is_at (const BlMeasurement *measurement, const char *id)
{
  return g_strcmp0 (measurement->at, id) == 0;
}

static gboolean
is_in_state (const BlMeasurement *measurement, const char *id)
{
  return g_strcmp0 (measurement->state, id) == 0;
}

static void
remove_test_point_refs (BlBoard *board, const char *id)
{
  remove_measurements_where (board, is_at, id);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->black, id) == 0)
        g_clear_pointer (&measurement->black, g_free);
    }
}

static void
remove_photo_refs (BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      GPtrArray *outlines = ((BlSection *) bl_at (board->sections, i))->outlines;
      REMOVE_WHERE (outlines, BlOutline, outline, g_strcmp0 (outline->photo, id) == 0)
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      GPtrArray *outlines = ((BlStage *) bl_at (board->stages, i))->outlines;
      REMOVE_WHERE (outlines, BlOutline, outline, g_strcmp0 (outline->photo, id) == 0)
    }
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (component->photo, id) != 0)
        continue;
      g_clear_pointer (&component->photo, g_free);
      component->x = component->y = NAN;
    }
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      BlTestPoint *point = bl_at (board->test_points, i);
      if (g_strcmp0 (point->photo, id) != 0)
        continue;
      g_clear_pointer (&point->photo, g_free);
      point->x = point->y = NAN;
    }
}

void
bl_board_remove (BlBoard *board, BlKind kind, const char *id)
{
  g_autofree char *own = g_strdup (id);

  g_return_if_fail (bl_board_has (board, kind, own));
  switch (kind)
    {
    case BL_KIND_STATE:
      remove_measurements_where (board, is_in_state, own);
      drop_effects (board, kind, own);
      drop_when (board, kind, own);
      break;
    case BL_KIND_PHOTO:
      remove_photo_refs (board, own);
      break;
    case BL_KIND_SECTION:
      remove_section_refs (board, own);
      break;
    case BL_KIND_STAGE:
      remove_stage_refs (board, own);
      break;
    case BL_KIND_COMPONENT:
      remove_component_refs (board, own);
      break;
    case BL_KIND_TEST_POINT:
      remove_test_point_refs (board, own);
      break;
    case BL_KIND_MEASUREMENT:
      remove_measurement_refs (board, own);
      break;
    case BL_N_KINDS:
    default:
      g_assert_not_reached ();
    }
  g_ptr_array_remove_index (elements (board, kind), (guint) find (board, kind, own));
}
