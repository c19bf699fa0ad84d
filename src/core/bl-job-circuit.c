/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a job to a circuit: the rounds, a place ("slot") for every reading that counts and for every
 * measurement still unread in the last round, the setups they depend on, part tests and symptoms.
 * None of it depends on what was read, so a further reading in the same round finds its circuit
 * ready. A signature of all that the circuit was built from tells when it must be built anew.
 * Only on boards too dense for that is a circuit built for the readings at hand, and anew when others come out too
 * differently (bl-job-wear.c). bl-job-groups.c adds what the odds are asked of. */
#include "config.h"

#include "bl-engine-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

enum
{
  MAX_LANES = 6,            /* setups evaluated side by side: 2^6 lanes */
  MAX_TERMS = 600 * 1000,   /* of a circuit for any readings, 12 bytes each */
  MANY_TERMS = 60 * 1000    /* more: another order of elimination is tried */
};

void
bl_job_circuit_free (BlJobCircuit *compiled)
{
  if (compiled == NULL)
    return;
  GPtrArray *groups[] = { compiled->parts, compiled->parts_present, compiled->stages,
                          compiled->stages_present, compiled->sections, compiled->sections_present };
  for (guint i = 0; i < G_N_ELEMENTS (groups); i++)
    g_clear_pointer (&groups[i], g_ptr_array_unref);
  bl_group_free (compiled->all);
  for (guint i = 0; compiled->slots != NULL && i < compiled->slots->len; i++)
    {
      g_free (bl_slot (compiled, i)->weights);
      g_free (bl_slot (compiled, i)->made);
    }
  g_clear_pointer (&compiled->slots, g_array_unref);
  g_clear_pointer (&compiled->setups, g_array_unref);
  g_clear_pointer (&compiled->said, g_array_unref);
  g_clear_pointer (&compiled->pass, bl_pass_free);
  g_clear_pointer (&compiled->some, bl_pass_free);
  g_clear_pointer (&compiled->circuit, bl_circuit_free);
  g_clear_pointer (&compiled->whole, bl_circuit_free);
  g_clear_pointer (&compiled->network, bl_network_free);
  g_clear_pointer (&compiled->rounds.conditions, g_strfreev);
  g_free (compiled->rounds.versions);
  g_free (compiled->signature);
  g_free (compiled->own);
  g_free (compiled->present);
  g_free (compiled->needed_parts);
  g_free (compiled->needed_slots);
  g_free (compiled->lane_sets);
  g_free (compiled->lane_weights);
  g_free (compiled->part_joints);
  g_free (compiled);
}

/* --- rounds --- */

static gboolean
find_part (const BlCauses *causes, const BlEntry *entry, guint *part, GError **error)
{
  int index = bl_causes_find (causes->part_index, entry->subject);
  *part = (guint) MAX (index, 0);
  if (index < 0)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                        _("there is no component “%s”"), entry->subject), FALSE;
  return TRUE;
}

static gboolean
make_rounds (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *entries, GError **error)
{
  BlRounds *rounds = &compiled->rounds;
  guint round = 0, part;
  rounds->n = bl_evidence_rounds (entries, &rounds->conditions);
  rounds->n_parts = causes->parts->len;
  rounds->versions = g_new0 (guint, rounds->n * rounds->n_parts + 1);
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      if (entry->kind != BL_ENTRY_REPLACED && entry->kind != BL_ENTRY_ROUND)
        continue;
      guint *next = rounds->versions + ++round * rounds->n_parts;
      memcpy (next, next - rounds->n_parts, rounds->n_parts * sizeof *next);
      if (entry->kind == BL_ENTRY_ROUND)
        continue;
      if (!find_part (causes, entry, &part, error))
        return FALSE;
      next[part]++;
    }
  return TRUE;
}

/* --- slots and setups --- */

static guint
use_setup (BlJobCircuit *compiled, guint round, gboolean is_state, int index)
{
  for (guint i = 0; i < compiled->setups->len; i++)
    {
      BlSetup *setup = bl_setup (compiled, i);
      if (setup->round == round && setup->is_state == is_state && setup->index == index)
        return setup->uses++, i;
    }
  BlSetup setup = { .round = round, .is_state = is_state, .index = index, .uses = 1,
                    .node = BL_NET_NONE, .lane_bit = -1 };
  g_array_append_val (compiled->setups, setup);
  return compiled->setups->len - 1;
}

static void
add_slot (BlJobCircuit *compiled, const BlCauses *causes, guint measure, guint round,
          const BlJudged *judged)
{
  const BlCauseMeasure *source = bl_cause_measure (causes, measure);
  BlSlot slot = { .measure = measure, .round = round, .state = source->state,
                  .black = source->black, .judged = judged };
  if (judged != NULL && judged->entry->state != NULL)
    slot.state = bl_causes_find (causes->state_index, judged->entry->state);
  if (judged != NULL && judged->entry->black != NULL)
    slot.black = bl_causes_find (causes->point_index, judged->entry->black);
  if (slot.black >= 0)
    slot.setups[slot.n_setups++] = use_setup (compiled, round, FALSE, slot.black);
  if (slot.state >= 0)
    slot.setups[slot.n_setups++] = use_setup (compiled, round, TRUE, slot.state);
  g_array_append_val (compiled->slots, slot);
}

static gboolean
counts (const BlJudged *judged)
{
  return judged->last && judged->verdict->evidence;
}

static const BlJudged *
counting_in (GPtrArray *judged, const BlMeasurement *measurement, guint round)
{
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *one = bl_at (judged, i);
      if (one->measurement == measurement && one->round == round + 1 && counts (one))
        return one;
    }
  return NULL;
}

static void
make_slots (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *judged, const guint8 *unread)
{
  guint last = compiled->rounds.n - 1;
  compiled->slots = g_array_new (FALSE, FALSE, sizeof (BlSlot));
  compiled->setups = g_array_new (FALSE, FALSE, sizeof (BlSetup));
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *one = bl_at (judged, i);
      if (one->round - 1 < last && counts (one))
        add_slot (compiled, causes,
                  (guint) bl_causes_find (causes->measure_index, one->measurement->id),
                  one->round - 1, one);
    }
  for (guint m = 0; m < causes->measures->len; m++)
    {
      const BlJudged *one = counting_in (judged, bl_at (causes->board->measurements, m), last);
      if (one != NULL || !compiled->sharp || (unread != NULL && unread[m]))
        add_slot (compiled, causes, m, last, one);
    }
}

BlSlot *
bl_job_circuit_find_slot (BlJobCircuit *compiled, guint measure, guint round)
{
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->measure == measure && bl_slot (compiled, i)->round == round)
      return bl_slot (compiled, i);
  return NULL;
}

static void
mark_used (BlJobCircuit *compiled)
{
  for (guint i = 0; i < compiled->setups->len; i++)
    bl_setup (compiled, i)->used = FALSE;
  for (guint i = 0; i < compiled->slots->len; i++)
    for (guint j = 0; j < bl_slot (compiled, i)->n_setups; j++)
      if (bl_slot (compiled, i)->judged != NULL)
        bl_setup (compiled, bl_slot (compiled, i)->setups[j])->used = TRUE;
}

/* The busiest setups become lanes; one that a single reading depends on is part of its weights. */
static void
choose_setups (BlJobCircuit *compiled, const BlCauses *causes)
{
  guint n = compiled->setups->len;
  for (guint i = 0; i < n; i++)
    {
      BlSetup *setup = bl_setup (compiled, i);
      setup->how = !(causes->odds.setup > 0) ? BL_SETUP_OFF
                   : setup->uses == 1        ? BL_SETUP_PRIVATE
                                             : BL_SETUP_ROOT;
    }
  for (guint lane = 0; lane < MAX_LANES; lane++)
    {
      BlSetup *best = NULL;
      for (guint i = 0; i < n; i++)
        {
          BlSetup *setup = bl_setup (compiled, i);
          if (setup->how == BL_SETUP_ROOT && (best == NULL || setup->uses > best->uses))
            best = setup;
        }
      if (best != NULL)
        best->how = BL_SETUP_LANE;
    }
}

static char *
make_signature (const BlJobCircuit *compiled, GPtrArray *entries)
{
  GString *text = g_string_new (NULL);
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      if (entry->kind != BL_ENTRY_READING)
        g_string_append_printf (text, "%d\1%s\1%s\1%s\2", (int) entry->kind,
                                entry->subject ? entry->subject : "", entry->text ? entry->text : "",
                                entry->state ? entry->state : "");
    }
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      const BlSlot *slot = bl_slot (compiled, i);
      g_string_append_printf (text, "%u %u %d %d\2", slot->measure, slot->round, slot->state,
                              slot->black);
    }
  return g_string_free (text, FALSE);
}

/* --- the network --- */

static void
make_measures (BlJobCircuit *compiled, const BlCauses *causes)
{
  for (guint i = 0; i < compiled->setups->len; i++)
    {
      BlSetup *setup = bl_setup (compiled, i);
      if (setup->how == BL_SETUP_ROOT)
        setup->node = bl_network_root (compiled->network, BL_ROOT_SETUP, i, 0, 0, 0,
                                       causes->odds.setup);
    }
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      BlSlot *slot = bl_slot (compiled, i);
      guint wrong[2], n_wrong = 0;
      for (guint j = 0; j < slot->n_setups; j++)
        if (bl_setup (compiled, slot->setups[j])->how == BL_SETUP_ROOT)
          wrong[n_wrong++] = bl_setup (compiled, slot->setups[j])->node;
      slot->node = bl_network_measure (compiled->network, slot->measure, slot->state, slot->round,
                                       wrong, n_wrong);
    }
}

static void
make_modes (BlJobCircuit *compiled, const BlCauses *causes)
{
  guint last = compiled->rounds.n - 1, n = causes->modes->len;
  compiled->own = g_new (guint, n + 1);
  compiled->present = g_new (guint, n + 1);
  for (guint m = 0; m < n; m++)
    {
      const BlCauseMode *mode = bl_cause_mode (causes, m);
      bl_network_own (compiled->network, m, 0);
      compiled->own[m] = bl_network_own (compiled->network, m,
                                         bl_rounds_version (&compiled->rounds, last, mode->part));
      compiled->present[m] = bl_network_present (compiled->network, m, last);
    }
  compiled->elsewhere = bl_network_root (compiled->network, BL_ROOT_ELSEWHERE, 0, 0, 0, 0,
                                         causes->odds.elsewhere);
}

static gboolean
say_part (BlJobCircuit *compiled, const BlCauses *causes, const BlEntry *entry, guint round,
          BlSaid *said, GError **error)
{
  guint part;
  if (!find_part (causes, entry, &part, error))
    return FALSE;
  const BlCausePart *source = bl_cause_part (causes, part);
  if (g_strcmp0 (entry->text, "good") == 0)
    {
      g_autofree guint *nodes = g_new (guint, source->n + 1);
      for (guint i = 0; i < source->n; i++)
        nodes[i] = bl_network_present (compiled->network, source->first + i, round);
      *said = (BlSaid){ bl_network_any (compiled->network, nodes, source->n), { .98, .02 }, FALSE };
      return TRUE;
    }
  int mode = bl_causes_mode (causes, part, entry->text);
  if (mode < 0)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                        _("component “%s” has no mode “%s”"), entry->subject, entry->text), FALSE;
  guint present = bl_network_present (compiled->network, (guint) mode, round);
  *said = (BlSaid){ bl_network_any (compiled->network, &present, 1), { .02, .98 }, TRUE };
  return TRUE;
}

static gboolean
say_symptom (BlJobCircuit *compiled, const BlCauses *causes, const BlEntry *entry, guint round,
             BlSaid *said, GError **error)
{
  int symptom = bl_causes_find (causes->symptom_index, entry->subject);
  int state = entry->state == NULL ? -1 : bl_causes_find (causes->state_index, entry->state);
  double m = causes->odds.misreport;
  if (symptom < 0)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                        _("there is no symptom “%s”"), entry->subject), FALSE;
  guint nodes[2] = { bl_network_symptom (compiled->network, (guint) symptom, state, round),
                     compiled->elsewhere };
  *said = (BlSaid){ bl_network_any (compiled->network, nodes, 2), { m, 1 - m }, TRUE };
  if (g_strcmp0 (entry->text, "no") == 0)
    {
      said->weight[0] = 1 - m;
      said->weight[1] = m;
      said->wants = FALSE;
    }
  return TRUE;
}

static gboolean
make_said (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *entries, GError **error)
{
  guint round = 0;
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      BlSaid said;
      round += entry->kind == BL_ENTRY_REPLACED || entry->kind == BL_ENTRY_ROUND;
      if (entry->kind != BL_ENTRY_PART_TEST && entry->kind != BL_ENTRY_SYMPTOM)
        continue;
      if (!(entry->kind == BL_ENTRY_PART_TEST ? say_part : say_symptom) (compiled, causes, entry,
                                                                        round, &said, error))
        return FALSE;
      g_array_append_val (compiled->said, said);
    }
  return TRUE;
}

/* --- the circuit --- */

static void
mark_nodes (BlJobCircuit *compiled, const BlCauses *causes, BlEvidenceNodes *evidence)
{
  guint last = compiled->rounds.n - 1;
  for (guint i = 0; i < compiled->network->nodes->len; i++)
    {
      evidence->weight[i][0] = evidence->weight[i][1] = 1;
      evidence->group[i] = G_MAXUINT;
    }
  for (guint i = 0; i < compiled->said->len; i++)
    {
      const BlSaid *one = &g_array_index (compiled->said, BlSaid, i);
      evidence->marked[one->node] = TRUE;
      evidence->weight[one->node][0] *= one->weight[0];
      evidence->weight[one->node][1] *= one->weight[1];
    }
  for (guint i = 0; i < compiled->slots->len; i++)
    evidence->reading[bl_slot (compiled, i)->node] = TRUE;
  for (guint m = 0; m < causes->modes->len; m++)
    {
      const BlCauseMode *mode = bl_cause_mode (causes, m);
      for (guint v = 0; v <= bl_rounds_version (&compiled->rounds, last, mode->part); v++)
        {
          guint own = bl_network_find_root (compiled->network, BL_ROOT_OWN, m, v, 0, 0);
          if (own == BL_NET_NONE)
            continue;
          evidence->counted[own] = v == 0;
          evidence->group[own] = v * causes->parts->len + mode->part + 1;
        }
      if (compiled->present[m] != BL_NET_NONE)
        evidence->marked[compiled->present[m]] = TRUE;
    }
  if (compiled->elsewhere != BL_NET_NONE)
    evidence->counted[compiled->elsewhere] = TRUE;
}

/* Tells the compiler what was read. */
static void
add_values (BlJobCircuit *compiled, const BlCauses *causes, BlEvidenceNodes *evidence)
{
  bl_choose_lanes (compiled, causes);
  evidence->lanes = compiled->n_lanes;
  evidence->lane_weights = compiled->lane_weights;
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      BlSlot *slot = bl_slot (compiled, i);
      guint rows = bl_net_node (compiled->network, slot->node)->values->len;
      if (slot->judged == NULL)
        continue;
      g_free (evidence->value[slot->node]);
      evidence->value[slot->node] = g_new (double, (gsize) rows * compiled->n_lanes);
      bl_slot_fill (compiled, causes, slot, evidence->value[slot->node]);
    }
}

/* What is left out must be small against the whole, and the whole is not known before: it is found
 * from below, a first circuit leaving out much. Once it is known, lanes that do not matter are left out too. */
static BlCircuit *
eliminate_sharply (BlJobCircuit *compiled, const BlCauses *causes, BlEvidenceNodes *evidence, gsize max_terms,
                   const int *cancel, GError **error)
{
  gboolean given = compiled->least > 0;
  double total = 0;
  evidence->least = given ? compiled->least : 1e-6;
  while (TRUE)
    {
      add_values (compiled, causes, evidence);
      g_autoptr (BlCircuit) circuit
        = bl_eliminate (compiled->network, evidence, max_terms, &total, cancel, error);
      if (circuit == NULL)
        return NULL;
      if (given || !(evidence->least > 2 * BL_JOB_NEGLIGIBLE * total))
        {
          compiled->least = evidence->least;
          return g_steal_pointer (&circuit);
        }
      if (total > 0)
        compiled->least = evidence->least = BL_JOB_NEGLIGIBLE * total;
      else
        evidence->least = evidence->least > 1e-290 ? evidence->least * 1e-12 : 0;
    }
}

/* One for any readings, once a board and round. Going by the rows of factors finds out early that a board is too
 * dense; where it is not, going by their fields alone mostly makes fewer terms of it: 20 to 40 % fewer on densely
 * documented boards and such with coupled sections, more on some. Each entry pays for every term. */
static BlCircuit *
eliminate_for_any (BlJobCircuit *compiled, BlEvidenceNodes *evidence, gsize max_terms, const int *cancel,
                   GError **error)
{
  BlCircuit *first = bl_eliminate (compiled->network, evidence, max_terms, NULL, cancel, error), *second;
  if (first == NULL || first->to->len < MANY_TERMS)
    return first;
  evidence->by_fields = TRUE;
  second = bl_eliminate (compiled->network, evidence, first->to->len - 1, NULL, cancel, NULL);
  if (second == NULL)
    return first;
  bl_circuit_free (first);
  return second;
}

static gboolean
make_circuit (BlJobCircuit *compiled, const BlCauses *causes, gsize max_terms, const int *cancel,
              GError **error)
{
  guint n = compiled->network->nodes->len + 1;
  g_autofree gboolean *reading = g_new0 (gboolean, n), *marked = g_new0 (gboolean, n);
  g_autofree gboolean *counted = g_new0 (gboolean, n);
  g_autofree guint *group = g_new0 (guint, n);
  g_autofree double(*weight)[2] = g_malloc0_n (n, sizeof *weight);
  g_autofree double **value = g_new0 (double *, n);
  BlEvidenceNodes evidence = { .reading = reading, .marked = marked, .weight = weight, .counted = counted,
                               .group = group, .value = value, .room = compiled->room };
  mark_nodes (compiled, causes, &evidence);
  compiled->circuit
    = compiled->sharp ? eliminate_sharply (compiled, causes, &evidence, max_terms, cancel, error)
                      : eliminate_for_any (compiled, &evidence, max_terms, cancel, error);
  for (guint i = 0; i < n; i++)
    g_free (value[i]);
  if (compiled->circuit == NULL)
    return FALSE;
  for (guint i = 0; i < compiled->slots->len; i++)
    bl_slot (compiled, i)->leaf = (guint) compiled->circuit->leaf[bl_slot (compiled, i)->node];
  compiled->pass = bl_pass_new (compiled->circuit, compiled->room);
  return TRUE;
}

/* --- the whole --- */

/* Takes the readings over into a circuit with the same places. */
static void
take_readings (BlJobCircuit *old, const BlJobCircuit *fresh)
{
  for (guint i = 0; i < old->slots->len; i++)
    bl_slot (old, i)->judged = bl_slot (fresh, i)->judged;
  mark_used (old);
}

static gboolean
compile (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *entries, gsize max_terms,
         const int *cancel, GError **error)
{
  compiled->said = g_array_new (FALSE, FALSE, sizeof (BlSaid));
  choose_setups (compiled, causes);
  mark_used (compiled);
  compiled->network = bl_network_new (causes, &compiled->rounds, FALSE);
  make_modes (compiled, causes);
  make_measures (compiled, causes);
  if (!make_said (compiled, causes, entries, error))
    return FALSE;
  bl_network_finish (compiled->network);
  if (!make_circuit (compiled, causes, max_terms, cancel, error))
    return FALSE;
  bl_job_make_groups (compiled, causes);
  return TRUE;
}

BlJobCircuit *
bl_job_compile (const BlCauses *causes, GPtrArray *entries, GPtrArray *judged, gsize large, BlJobCircuit *old,
                BlRoom *room, const int *cancel, GError **error)
{
  BlJobCircuit *compiled = g_new0 (BlJobCircuit, 1);
  compiled->room = room;
  if (!make_rounds (compiled, causes, entries, error))
    {
      bl_job_circuit_free (compiled);
      bl_job_circuit_free (old);
      return NULL;
    }
  make_slots (compiled, causes, judged, NULL);
  compiled->signature = make_signature (compiled, entries);
  if (old != NULL && !old->sharp && strcmp (old->signature, compiled->signature) == 0)
    {
      take_readings (old, compiled);
      bl_job_circuit_free (compiled);
      if (old->whole != NULL && !(old->least > 0 && bl_job_serves (old, causes)))
        bl_job_trim (old, causes);
      return old;
    }
  bl_job_circuit_free (old);
  if (!compile (compiled, causes, entries, MAX_TERMS, cancel, error))
    g_clear_pointer (&compiled, bl_job_circuit_free);
  else if (compiled->circuit->to->len > large)
    {
      compiled->whole = bl_circuit_copy (compiled->circuit);
      bl_job_trim (compiled, causes);
    }
  return compiled;
}

BlJobCircuit *
bl_job_compile_sharp (const BlCauses *causes, GPtrArray *entries, GPtrArray *judged, const guint8 *unread,
                      double least, gsize max_terms, BlJobCircuit *old, BlRoom *room, const int *cancel,
                      GError **error)
{
  BlJobCircuit *compiled = g_new0 (BlJobCircuit, 1);
  compiled->room = room;
  compiled->sharp = TRUE;
  compiled->least = least;
  if (!make_rounds (compiled, causes, entries, error))
    {
      bl_job_circuit_free (compiled);
      bl_job_circuit_free (old);
      return NULL;
    }
  make_slots (compiled, causes, judged, unread);
  compiled->signature = make_signature (compiled, entries);
  if (old != NULL && old->sharp && strcmp (old->signature, compiled->signature) == 0)
    {
      take_readings (old, compiled);
      if (bl_job_serves (old, causes))
        return bl_job_circuit_free (compiled), old;
    }
  bl_job_circuit_free (old);
  if (!compile (compiled, causes, entries, max_terms, cancel, error))
    g_clear_pointer (&compiled, bl_job_circuit_free);
  else if (!(least > 0))
    bl_job_trim (compiled, causes);
  return compiled;
}
