/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The board flattened for the diagnosis: names become indices, what the document left out is filled
 * in, every stage gets its implied component "something else in this stage". Written once per board
 * so that everything behind it works on small integers. A few thousand modes are expected; all of
 * it is linear in the document. It doesn't validate: a document that passed validation is assumed,
 * and what can't be resolved all the same is an error, never a guess. */
#include "config.h"

#include "bl-causes.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static void
mode_free (BlCauseMode *mode)
{
  g_clear_pointer (&mode->effects, g_array_unref);
  g_clear_pointer (&mode->links, g_array_unref);
  g_free (mode);
}

static void
part_free (BlCausePart *part)
{
  g_free (part->id);
  g_free (part);
}

static void
stage_free (BlCauseStage *stage)
{
  g_clear_pointer (&stage->feeds, g_array_unref);
  g_free (stage);
}

static void
measure_free (BlCauseMeasure *measure)
{
  g_free (measure->classes);
  g_free (measure->code);
  g_free (measure);
}

void
bl_causes_free (BlCauses *causes)
{
  if (causes == NULL)
    return;
  g_clear_pointer (&causes->modes, g_ptr_array_unref);
  g_clear_pointer (&causes->parts, g_ptr_array_unref);
  g_clear_pointer (&causes->stages, g_ptr_array_unref);
  g_clear_pointer (&causes->measures, g_ptr_array_unref);
  g_clear_pointer (&causes->rings, g_ptr_array_unref);
  g_clear_pointer (&causes->provokers, g_ptr_array_unref);
  g_clear_pointer (&causes->part_index, g_hash_table_unref);
  g_clear_pointer (&causes->stage_index, g_hash_table_unref);
  g_clear_pointer (&causes->measure_index, g_hash_table_unref);
  g_clear_pointer (&causes->state_index, g_hash_table_unref);
  g_clear_pointer (&causes->point_index, g_hash_table_unref);
  g_clear_pointer (&causes->symptom_index, g_hash_table_unref);
  g_free (causes);
}

int
bl_causes_find (GHashTable *table, const char *id)
{
  gpointer value;
  if (id == NULL || !g_hash_table_lookup_extended (table, id, NULL, &value))
    return -1;
  return GPOINTER_TO_INT (value);
}

int
bl_causes_mode (const BlCauses *causes, guint part, const char *name)
{
  const BlCausePart *p = bl_cause_part (causes, part);
  for (guint i = p->first; i < p->first + p->n; i++)
    if (g_strcmp0 (bl_cause_mode (causes, i)->name, name) == 0)
      return (int) i;
  return -1;
}

double
bl_causes_shows (const BlCauses *causes, guint mode, const char *condition)
{
  const BlMode *source = bl_cause_mode (causes, mode)->mode;
  double chance = source == NULL ? 1 : bl_mode_shows (source, condition);
  return isnan (chance) ? 1 : chance;
}

/* --- measurements --- */

static const char *const precedence[] = { "absent", "shorted", "open", "unsteady" };
static const char *const after_marks[]
  = { "still low", "still high", "still middle", "low", "high", "beyond", "deviates" };

static const char *const *
row_of (BlMeasures measures, guint *good)
{
  static const char *const steady[] = { "absent", "low", "in band", "high", "unsteady", NULL };
  static const char *const resistive[]
    = { "shorted", "low", "in band", "high", "open", "unsteady", NULL };
  static const char *const swing[] = { "still low", "still middle", "still high", "low",
                                       "high",      "beyond",       "in band",    NULL };
  static const char *const check[] = { "as expected", "deviates", NULL };
  *good = 2;
  if (bl_measures_is_resistive (measures))
    return resistive;
  if (measures == BL_MEASURES_SWING)
    return *good = 6, swing;
  if (measures == BL_MEASURES_CHECK)
    return *good = 0, check;
  return steady;
}

static guint
rank_of (const char *name, guint mark, guint n_marks, gboolean series)
{
  for (guint i = 0; i < G_N_ELEMENTS (precedence); i++)
    if (mark == G_MAXUINT && strcmp (name, precedence[i]) == 0)
      return series && (i == 1 || i == 2) ? 3 - i : i;
  if (mark != G_MAXUINT)
    return 4 + mark;
  for (guint i = 0; i < G_N_ELEMENTS (after_marks); i++)
    if (strcmp (name, after_marks[i]) == 0)
      return 4 + n_marks + i;
  g_assert_not_reached ();
}

static int
class_index (const BlCauseMeasure *measure, const char *name)
{
  for (guint i = 0; i < measure->n; i++)
    if (strcmp (measure->classes[i], name) == 0)
      return (int) i;
  return -1;
}

static void
add_classes (BlCauseMeasure *measure, const BlMeasurement *source)
{
  guint n_marks = bl_len (source->expected.marks), n_row = 0;
  const char *const *row = row_of (source->measures, &measure->good);
  while (row[n_row] != NULL)
    n_row++;
  measure->n = n_row + n_marks;
  measure->classes = g_new0 (const char *, measure->n);
  measure->code = g_new0 (guint8, measure->n);
  memset (measure->class_of, (int) measure->good, sizeof measure->class_of);
  for (guint i = 0; i < measure->n; i++)
    {
      guint mark = i < n_row ? G_MAXUINT : i - n_row;
      measure->classes[i]
        = i < n_row ? row[i] : ((const BlMark *) bl_at (source->expected.marks, mark))->id;
      if (i == measure->good)
        continue;
      measure->code[i]
        = (guint8) (254 - rank_of (measure->classes[i], mark, n_marks, source->series == 1));
      measure->class_of[measure->code[i]] = (guint8) i;
    }
  measure->unsteady = class_index (measure, "unsteady");
}

/* What a deviation of the stage shows as: by the same name on steady kinds; a swing rests low without
 * a drive and is too small when unsteady; a check only deviates. */
static void
set_reads_codes (BlCauseMeasure *measure, BlMeasures measures)
{
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    {
      const char *name = bl_deviation_name ((BlDeviation) d);
      if (measures == BL_MEASURES_CHECK)
        name = "deviates";
      else if (measures == BL_MEASURES_SWING && d == BL_ABSENT)
        name = "still low";
      else if (measures == BL_MEASURES_SWING && d == BL_UNSTEADY)
        name = "low";
      int index = class_index (measure, name);
      measure->reads_code[d] = index < 0 ? 0 : measure->code[index];
    }
}

static gboolean
add_measure (BlCauses *causes, const BlMeasurement *source, GError **error)
{
  BlCauseMeasure *measure = g_new0 (BlCauseMeasure, 1);
  g_ptr_array_add (causes->measures, measure);
  if (bl_len (source->expected.marks) > 200)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                        _("Measurement “%s” has more than 200 marks"), source->id), FALSE;
  add_classes (measure, source);
  set_reads_codes (measure, source->measures);
  measure->reads = bl_causes_find (causes->stage_index, source->reads);
  measure->state = bl_causes_find (causes->state_index, source->state);
  measure->black = bl_causes_find (causes->point_index, source->black);
  measure->misread = isnan (source->misread) ? 0.02 : source->misread;
  return TRUE;
}

/* --- stages --- */

static void
add_feed (BlCauses *causes, const BlStage *stage, const BlFeed *source, BlCauseStage *to)
{
  BlCauseFeed feed = { .stage = bl_causes_find (causes->stage_index, source->from) };
  const BlPasses *layers[] = { &source->passes, &stage->feeds_passes, &stage->passes };
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    {
      int becomes = d;
      for (guint i = 0; i < G_N_ELEMENTS (layers); i++)
        if (layers[i]->set && layers[i]->to[d] != BL_PASSES_UNCHANGED)
          {
            becomes = layers[i]->to[d];
            break;
          }
      feed.passes[d] = becomes == BL_IN_BAND ? 0 : 1u << becomes;
    }
  g_array_append_val (to->feeds, feed);
}

static void
add_stage (BlCauses *causes, const BlStage *source, GHashTable *sections)
{
  BlCauseStage *stage = g_new0 (BlCauseStage, 1);
  guint n = bl_len (source->feeds), k = n;
  stage->section = bl_causes_find (sections, source->section);
  stage->feeds = g_array_new (FALSE, FALSE, sizeof (BlCauseFeed));
  for (guint i = 0; i < n; i++)
    add_feed (causes, source, bl_at (source->feeds, i), stage);
  if (source->need == BL_NEED_ANY)
    k = 1;
  else if (source->need > 0)
    k = MIN ((guint) source->need, n);
  stage->threshold = n - k + 1;
  g_ptr_array_add (causes->stages, stage);
}

/* --- components and modes --- */

static gboolean
effect_is (const BlCauses *causes, const BlEffect *source, BlCauseEffect *effect)
{
  for (char **is = source->is; is != NULL && *is != NULL; is++)
    {
      BlDeviation d;
      if (effect->stage >= 0)
        {
          if (!bl_deviation_parse (*is, &d) || d >= BL_N_DEVIATIONS)
            return FALSE;
          effect->mask |= 1u << d;
          continue;
        }
      const BlCauseMeasure *measure = bl_cause_measure (causes, effect->measurement);
      int index = class_index (measure, *is);
      if (index < 0)
        return FALSE;
      effect->code = MAX (effect->code, measure->code[index]);
      if (index < 64)
        effect->classes |= G_GUINT64_CONSTANT (1) << index;
    }
  return TRUE;
}

static gboolean
add_effect (BlCauses *causes, BlCauseMode *mode, const BlEffect *source, const char *where,
            GError **error)
{
  BlCauseEffect effect = { .measurement = -1, .states = G_MAXUINT64 };
  effect.stage = source->on == NULL ? bl_cause_part (causes, mode->part)->stage
                                    : bl_causes_find (causes->stage_index, source->on);
  if (effect.stage < 0)
    effect.measurement = bl_causes_find (causes->measure_index, source->on);
  if ((effect.stage < 0 && effect.measurement < 0) || !effect_is (causes, source, &effect))
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                        _("An effect of “%s:%s” names something that does not exist"), where,
                        mode->name), FALSE;
  if (source->in != NULL)
    {
      effect.states = 0;
      for (char **in = source->in; *in != NULL; in++)
        {
          int state = bl_causes_find (causes->state_index, *in);
          if (state >= 0)
            effect.states |= G_GUINT64_CONSTANT (1) << state;
        }
    }
  g_array_append_val (mode->effects, effect);
  return TRUE;
}

static BlCauseMode *
add_mode (BlCauses *causes, const char *name, const BlMode *source, double weight)
{
  BlCauseMode *mode = g_new0 (BlCauseMode, 1);
  mode->part = causes->parts->len - 1;
  mode->name = name;
  mode->mode = source;
  mode->prior = weight; /* becomes a probability when the sum of all weights is known */
  mode->effects = g_array_new (FALSE, FALSE, sizeof (BlCauseEffect));
  mode->links = g_array_new (FALSE, FALSE, sizeof (BlCauseLink));
  g_ptr_array_add (causes->modes, mode);
  bl_cause_part (causes, mode->part)->n++;
  return mode;
}

static BlCausePart *
add_part (BlCauses *causes, char *id, int stage)
{
  BlCausePart *part = g_new0 (BlCausePart, 1);
  part->id = id;
  part->stage = stage;
  part->section = stage < 0 ? -1 : bl_cause_stage (causes, stage)->section;
  part->first = causes->modes->len;
  g_hash_table_insert (causes->part_index, part->id, GINT_TO_POINTER (causes->parts->len));
  g_ptr_array_add (causes->parts, part);
  return part;
}

static gboolean
add_documented (BlCauses *causes, const BlComponent *component, double *sum, GError **error)
{
  add_part (causes, g_strdup (component->id), bl_causes_find (causes->stage_index, component->stage));
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *source = bl_at (component->modes, i);
      double weight = bl_board_mode_weight (causes->board, component, source);
      BlCauseMode *mode = add_mode (causes, source->mode, source, weight);
      *sum += weight;
      for (guint j = 0; j < bl_len (source->effects); j++)
        if (!add_effect (causes, mode, bl_at (source->effects, j), component->id, error))
          return FALSE;
    }
  return TRUE;
}

static void
add_implied (BlCauses *causes, guint stage, double weight)
{
  static const struct { BlDeviation is; double share; } modes[]
    = { { BL_ABSENT, .55 }, { BL_LOW, .2 }, { BL_UNSTEADY, .15 }, { BL_HIGH, .1 } };
  const BlStage *source = bl_at (causes->board->stages, stage);
  add_part (causes, bl_stage_other_id (source->id), (int) stage);
  for (guint i = 0; i < G_N_ELEMENTS (modes); i++)
    {
      BlCauseMode *mode = add_mode (causes, bl_deviation_name (modes[i].is), NULL,
                                    weight * modes[i].share);
      BlCauseEffect effect = { .stage = (int) stage, .measurement = -1,
                               .mask = 1u << modes[i].is, .states = G_MAXUINT64 };
      g_array_append_val (mode->effects, effect);
    }
}

static void
set_priors (BlCauses *causes)
{
  double total = 0;
  for (guint i = 0; i < causes->modes->len; i++)
    total += bl_cause_mode (causes, i)->prior;
  for (guint i = 0; i < causes->modes->len; i++)
    {
      BlCauseMode *mode = bl_cause_mode (causes, i);
      mode->prior = total > 0 ? -expm1 (-causes->odds.faults * mode->prior / total) : 0;
    }
}

static gboolean
add_links (BlCauses *causes, guint index, GError **error)
{
  BlCauseMode *mode = bl_cause_mode (causes, index);
  for (guint i = 0; mode->mode != NULL && i < bl_len (mode->mode->provokes); i++)
    {
      const BlProvokes *source = bl_at (mode->mode->provokes, i);
      int part = bl_causes_find (causes->part_index, source->component);
      int to = part < 0 ? -1 : bl_causes_mode (causes, (guint) part, source->mode);
      if (to < 0)
        return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                            _("“%s” provokes “%s:%s”, which does not exist"), mode->name,
                            source->component, source->mode), FALSE;
      BlCauseLink link = { (guint) to, isnan (source->chance) ? 1 : source->chance };
      guint pair[2] = { index, mode->links->len };
      if (link.chance <= 0)
        continue;
      bl_cause_mode (causes, link.mode)->provoked = TRUE;
      g_array_append_vals (bl_at (causes->provokers, link.mode), pair, 2);
      g_array_append_val (mode->links, link);
    }
  return TRUE;
}

/* --- rings of the provokes graph: Tarjan's strongly connected components, in topological order
 * (R. Tarjan, Depth-first search and linear graph algorithms, 1972; from memory) --- */

typedef struct
{
  BlCauses *causes;
  guint *number, *low, next;
  gboolean *on_stack;
  GArray *stack;
} Rings;

static void
visit (Rings *rings, guint v)
{
  BlCauses *causes = rings->causes;
  GArray *provokers = bl_at (causes->provokers, v);
  rings->number[v] = rings->low[v] = ++rings->next;
  rings->on_stack[v] = TRUE;
  g_array_append_val (rings->stack, v);
  for (guint i = 0; i < provokers->len; i += 2)
    {
      guint cause = g_array_index (provokers, guint, i);
      if (rings->number[cause] == 0)
        {
          visit (rings, cause);
          rings->low[v] = MIN (rings->low[v], rings->low[cause]);
        }
      else if (rings->on_stack[cause])
        rings->low[v] = MIN (rings->low[v], rings->number[cause]);
    }
  if (rings->low[v] != rings->number[v])
    return;
  GArray *ring = g_array_new (FALSE, FALSE, sizeof (guint));
  guint member;
  do
    {
      member = g_array_index (rings->stack, guint, rings->stack->len - 1);
      g_array_set_size (rings->stack, rings->stack->len - 1);
      rings->on_stack[member] = FALSE;
      bl_cause_mode (causes, member)->ring = causes->rings->len;
      g_array_append_val (ring, member);
    }
  while (member != v);
  for (guint i = 0; i < ring->len; i++)
    bl_cause_mode (causes, g_array_index (ring, guint, i))->ring_size = ring->len;
  g_ptr_array_add (causes->rings, ring);
}

static void
find_rings (BlCauses *causes)
{
  guint n = causes->modes->len;
  Rings rings = { causes, g_new0 (guint, n), g_new0 (guint, n), 0, g_new0 (gboolean, n),
                  g_array_new (FALSE, FALSE, sizeof (guint)) };
  for (guint i = 0; i < n; i++)
    if (rings.number[i] == 0)
      visit (&rings, i);
  g_free (rings.number);
  g_free (rings.low);
  g_free (rings.on_stack);
  g_array_unref (rings.stack);
}

/* --- the whole --- */

static GHashTable *
index_ids (const GPtrArray *array)
{
  /* every element of a board begins with its id */
  GHashTable *table = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < bl_len (array); i++)
    g_hash_table_insert (table, *(char **) bl_at (array, i), GINT_TO_POINTER (i));
  return table;
}

static void
index_board (BlCauses *causes, const BlBoard *board)
{
  causes->part_index = g_hash_table_new (g_str_hash, g_str_equal);
  causes->stage_index = index_ids (board->stages);
  causes->measure_index = index_ids (board->measurements);
  causes->state_index = index_ids (board->states);
  causes->point_index = index_ids (board->test_points);
  causes->symptom_index = index_ids (board->symptoms);
}

static gboolean
add_parts (BlCauses *causes, const BlBoard *board, GError **error)
{
  double sum = 0;
  guint n_stages = bl_len (board->stages);
  for (guint i = 0; i < bl_len (board->components); i++)
    if (!add_documented (causes, bl_at (board->components, i), &sum, error))
      return FALSE;
  for (guint i = 0; i < n_stages; i++)
    add_implied (causes, i, causes->odds.other * (sum > 0 ? sum : 1) / n_stages);
  set_priors (causes);
  for (guint i = 0; i < causes->modes->len; i++)
    g_ptr_array_add (causes->provokers, g_array_new (FALSE, FALSE, sizeof (guint)));
  for (guint i = 0; i < causes->modes->len; i++)
    if (!add_links (causes, i, error))
      return FALSE;
  find_rings (causes);
  return TRUE;
}

BlCauses *
bl_causes_new (const BlBoard *board, GError **error)
{
  g_autoptr (BlCauses) causes = g_new0 (BlCauses, 1);
  g_autoptr (GHashTable) sections = index_ids (board->sections);
  causes->board = board;
  causes->odds = bl_board_odds (board);
  causes->modes = g_ptr_array_new_with_free_func ((GDestroyNotify) mode_free);
  causes->parts = g_ptr_array_new_with_free_func ((GDestroyNotify) part_free);
  causes->stages = g_ptr_array_new_with_free_func ((GDestroyNotify) stage_free);
  causes->measures = g_ptr_array_new_with_free_func ((GDestroyNotify) measure_free);
  causes->rings = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  causes->provokers = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  index_board (causes, board);
  if (bl_len (board->states) > 64)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD,
                        _("More than 64 board states are beyond the diagnosis")), NULL;
  for (guint i = 0; i < bl_len (board->measurements); i++)
    if (!add_measure (causes, bl_at (board->measurements, i), error))
      return NULL;
  for (guint i = 0; i < bl_len (board->stages); i++)
    add_stage (causes, bl_at (board->stages, i), sections);
  if (!add_parts (causes, board, error))
    return NULL;
  return g_steal_pointer (&causes);
}
