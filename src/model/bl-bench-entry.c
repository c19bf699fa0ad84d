/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a technician types into the one entry field, told apart: a reading for the measurement in hand,
 * a reading for another point ("TP5 4.98"), a point to go to ("TP5"), what became of a part ("K1
 * replaced"), a note ("# ..."). Names are compared without regard to case. A text that is a reading for
 * the measurement in hand is always that: "R47" typed at an ohm measurement is 0.47 ohm, not the
 * resistor R47. In a job on an equipment a name may be typed without its box: of a point that several boxes have, that
 * of the box in hand is meant; of a part, which may be replaced by it, none is guessed. Nothing is kept here; bl-bench.c
 * does that.
 */
#include "config.h"

#include "bl-bench-equipment.h"
#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

void
bl_typed_clear (BlTyped *typed)
{
  g_clear_pointer (&typed->rest, g_free);
}

static gboolean
same_name (const char *a, const char *b)
{
  if (a == NULL || b == NULL)
    return FALSE;
  g_autofree char *first = g_utf8_casefold (a, -1);
  g_autofree char *second = g_utf8_casefold (b, -1);
  return strcmp (first, second) == 0;
}

/* Several measurements may share a point: the one for the present board state, then one for a state that
 * is live like it or unpowered like it (a volt reading taken on a live board is no resistance), then an
 * unread one. */
static int
preference (BlBench *self, BlMeasurementItem *item)
{
  const BlBoard *board = bl_bench_get_board (self);
  const BlState *state = bl_bench_get_state (self);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  gboolean here = state != NULL && g_strcmp0 (measurement->state, state->id) == 0;
  gboolean alike = state != NULL
                   && bl_board_state_may_be_live (board, measurement->state)
                        == bl_board_state_may_be_live (board, state->id);
  gboolean unread = bl_measurement_item_get_record (item) == NULL || bl_measurement_item_is_old (item);

  return (here ? 4 : 0) + (alike ? 2 : 0) + (unread ? 1 : 0);
}

/* role NULL: names as they are; otherwise those of this box, without it. */
static gboolean
is_called (BlBench *self, const char *id, const char *role, const char *name)
{
  if (role == NULL)
    return same_name (id, name);
  return g_strcmp0 (bl_bench_role_of (self, id), role) == 0 && same_name (bl_bench_local_id (self, id), name);
}

static BlMeasurementItem *
find_item_in (BlBench *self, const char *role, const char *name)
{
  GListModel *items = bl_bench_get_measurements (self);
  BlMeasurementItem *best = NULL;

  for (guint i = 0; i < g_list_model_get_n_items (items); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (items, i);
      if (is_called (self, bl_measurement_item_get_id (item), role, name))
        return item; /* kept alive by the list */
      if (!is_called (self, bl_measurement_item_get_point (item), role, name))
        continue;
      if (best == NULL || preference (self, item) > preference (self, best))
        best = item;
    }
  return best;
}

static const char *
find_component_in (BlBench *self, const char *role, const char *name)
{
  const BlBoard *board = bl_bench_get_board (self);

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (is_called (self, component->id, role, name))
        return component->id;
    }
  return NULL;
}

static gboolean
refuse_either (const char *name, const char *one, const char *other, GError **error)
{
  /* Translators: what was typed, then two boxes of the equipment: "K1 is in wall and in roof: type wall/K1 or roof/K1" */
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("%s is in %s and in %s: type %s/%s or %s/%s"), name, one,
               other, one, name, other, name);
  return FALSE;
}

/* Sets *found; FALSE where one of several boxes may be meant. */
static gboolean
find_item (BlBench *self, const char *name, BlMeasurementItem **found, GError **error)
{
  GPtrArray *boxes = bl_bench_get_boxes (self);
  BlMeasurementItem *current = bl_bench_get_current (self);
  const char *here = current != NULL ? bl_bench_role_of (self, bl_measurement_item_get_id (current)) : NULL, *first = NULL;

  *found = find_item_in (self, NULL, name);
  if (*found == NULL && here != NULL)
    *found = find_item_in (self, here, name);
  for (guint i = 0; (*found == NULL || first != NULL) && i < bl_len (boxes); i++)
    {
      const char *role = ((BlEquipmentBoard *) bl_at (boxes, i))->role;
      BlMeasurementItem *item = find_item_in (self, role, name);
      if (item != NULL && first != NULL)
        return refuse_either (name, first, role, error);
      if (item == NULL)
        continue;
      *found = item;
      first = role;
    }
  return TRUE;
}

static gboolean
find_component (BlBench *self, const char *name, const char **found, GError **error)
{
  GPtrArray *boxes = bl_bench_get_boxes (self);
  const char *first = NULL;

  *found = find_component_in (self, NULL, name);
  for (guint i = 0; (*found == NULL || first != NULL) && i < bl_len (boxes); i++)
    {
      const char *role = ((BlEquipmentBoard *) bl_at (boxes, i))->role;
      const char *component = find_component_in (self, role, name);
      if (component != NULL && first != NULL)
        return refuse_either (name, first, role, error);
      if (component == NULL)
        continue;
      *found = component;
      first = role;
    }
  return TRUE;
}

static gboolean
is_reading_for (BlMeasurementItem *item, const char *text, GError **error)
{
  BlReading reading;

  if (item == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("No measurement is selected"));
      return FALSE;
    }
  return bl_reading_parse (text, bl_measurement_item_get_measurement (item)->measures, &reading, error);
}

static gboolean
split_first_word (const char *text, char **first, char **rest)
{
  const char *space = strchr (text, ' ');

  *first = space != NULL ? g_strndup (text, (gsize) (space - text)) : g_strdup (text);
  *rest = space != NULL ? g_strstrip (g_strdup (space + 1)) : g_strdup ("");
  return **rest != '\0';
}

/* TRUE for a reason without the dash that makes it one. */
static gboolean
is_reason (const char *word)
{
  /* Translators: words, without a dash, for why a point could not be reached; divided by blanks */
  g_auto (GStrv) reasons = g_strsplit (_ ("coated potted glued buried covered blocked hidden unreachable"), " ", -1);

  for (guint i = 0; reasons[i] != NULL; i++)
    if (same_name (reasons[i], word))
      return TRUE;
  return FALSE;
}

/* Says what is wrong with a text that is nothing; problem: why it is no reading. */
static void
refuse (BlBench *self, const char *text, const char *first, GError *problem, GError **error)
{
  BlMeasurementItem *current = bl_bench_get_current (self);
  gboolean check
    = current != NULL && bl_measurement_item_get_measurement (current)->measures == BL_MEASURES_CHECK;
  gboolean more = strchr (text, ' ') != NULL;
  g_autofree char *near = NULL;

  if (is_reason (first))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                   _ ("For a point that was not reached, put a dash before the reason: “- %s”"), text);
      return;
    }
  /* A figure, or the answer to a check, that is none. */
  if (!g_unichar_isalpha (g_utf8_get_char (text)) || (check && !more))
    {
      g_propagate_error (error, g_error_copy (problem));
      return;
    }
  near = bl_bench_near_names (self, first);
  if (near != NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                 _ ("There is no point or part “%s” on this board. Near it: %s"), first, near);
  else
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no point or part “%s” on this board"),
                 first);
}

gboolean
bl_bench_read_typed (BlBench *self, const char *text, BlTyped *typed, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  g_autofree char *first = NULL;
  g_autoptr (GError) problem = NULL;

  *typed = (BlTyped){ 0 };
  if (trimmed[0] == '#')
    {
      *typed = (BlTyped){ .kind = BL_TYPED_NOTE, .rest = g_strstrip (g_strdup (trimmed + 1)) };
      return TRUE;
    }
  if (is_reading_for (bl_bench_get_current (self), trimmed, &problem))
    {
      *typed = (BlTyped){ .kind = BL_TYPED_READING, .item = bl_bench_get_current (self) };
      typed->rest = g_steal_pointer (&trimmed);
      return TRUE;
    }
  gboolean more = split_first_word (trimmed, &first, &typed->rest);
  if (!find_item (self, first, &typed->item, error))
    return FALSE;
  if (typed->item != NULL)
    {
      typed->kind = more ? BL_TYPED_READING : BL_TYPED_SELECT;
      return !more || is_reading_for (typed->item, typed->rest, error);
    }
  if (!find_component (self, first, &typed->component, error))
    return FALSE;
  typed->kind = BL_TYPED_PART;
  if (typed->component != NULL && more)
    return TRUE;
  if (typed->component != NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                 _ ("What about %s? Type “%s good”, “%s replaced” or its failure mode"), typed->component,
                 typed->component, typed->component);
  else
    refuse (self, trimmed, first, problem, error);
  return FALSE;
}
