/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Joins the boards of an equipment into one flat board, so that everything behind it knows boards
 * only. What the format leaves open is decided here as follows.
 *
 * - A conductor is a stage of no section, fed by the stage in "from", and a component of the same
 * id in it; like every stage it has the implied component "ID/other". "from" may be another
 * conductor. Left out it is fed by nothing, "to" left out it feeds no port.
 * - A cable is a component of no stage; its effects all name what they are on.
 * - Their kind, where they have none, is "conductor" and "cable", which the table of published
 * priors does not have.
 * - A port is joined once; joined twice it would have two sources at odds, which is an error.
 * - States are matched by id, which has no role. Of boards that differ the most cautious value is
 *   kept (live if one is, the highest voltage, the longest entering, the shortest lasting, every
 *   proof of being dead); the first that says something in words is heard. A state of the equipment
 *   replaces all of that. States come in the order of the boards, then the equipment's own.
 * - The odds are the equipment's; those of a board are for a board alone.
 * - "shares" scales the documented weights of each board, and of conductors and cables together, so
 *   that each sums to its share; it must name all of them. Without it weights stay as they are.
 * - A photo's file stays a path inside its own board's bundle. */
#include "config.h"

#include "bl-equipment.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-check.h"
#include "bl-discharge.h"

/* Each is copied into the joined one: a short document must not name one board so often that memory ends. */
#define MAX_BOARDS 64

typedef struct
{
  BlEquipment *equipment;
  BlBoard *board; /* the one being joined */
  BlReport *report;
  const BlPath *root;
  GHashTable *ports; /* of all boards: "role/PORT" to whether it is joined (pointer to BlPart) */
  guint first_component; /* index of the first conductor among the components */
} Join;

/* --- The boards ------------------------------------------------------------------------------- */

/* Moves the elements of *from to the end of *to. */
static void
move_list (GPtrArray **to, GPtrArray **from)
{
  if (*from == NULL)
    return;
  if (*to == NULL)
    {
      *to = g_steal_pointer (from);
      return;
    }
  g_ptr_array_extend_and_steal (*to, g_steal_pointer (from));
}

static void
keep_first (char **text, char **other)
{
  if (*text == NULL)
    *text = g_steal_pointer (other);
}

/* Live if either is, unpowered only if both are: -1 is "not said". */
static int
merge_live (int one, int other)
{
  if (one == 1 || other == 1)
    return 1;
  return one == 0 && other == 0 ? 0 : -1;
}

static double
time_constant (const BlBoard *board, const BlState *state)
{
  BlDischarge discharge;

  return bl_discharge_of (board, state, &discharge) ? discharge.r_most * discharge.c_most : -1;
}

/* Of two charges that of the one that stays longer; ties and what cannot be computed: the first. */
static void
merge_charge (const BlBoard *board, BlState *state, const BlBoard *member, BlState *other)
{
  if (other->capacitor == NULL
      || (state->capacitor != NULL && time_constant (board, state) >= time_constant (member, other)))
    return;
  g_free (state->capacitor);
  g_free (state->bleeder);
  state->capacitor = g_steal_pointer (&other->capacitor);
  state->bleeder = g_steal_pointer (&other->bleeder);
}

/* fmax and fmin take the other value where one is NAN, which is "left out" here. */
static void
merge_state (BlState *state, BlState *other)
{
  g_autoptr (GStrvBuilder) proofs = g_strv_builder_new ();
  keep_first (&state->title, &other->title);
  keep_first (&state->how, &other->how);
  keep_first (&state->notes, &other->notes);
  state->live = merge_live (state->live, other->live);
  state->volts = fmax (state->volts, other->volts);
  state->enter_s = fmax (state->enter_s, other->enter_s);
  state->lasts_s = fmin (state->lasts_s, other->lasts_s);
  if (other->dead_proof == NULL)
    return;
  if (state->dead_proof != NULL)
    g_strv_builder_addv (proofs, (const char **) state->dead_proof);
  g_strv_builder_addv (proofs, (const char **) other->dead_proof);
  g_strfreev (state->dead_proof);
  state->dead_proof = g_strv_builder_end (proofs);
}

static void
merge_states (BlBoard *board, BlBoard *member)
{
  for (guint i = 0; i < bl_len (member->states); i++)
    {
      BlState *other = bl_at (member->states, i), *state = bl_board_state (board, other->id);
      if (state != NULL)
        {
          merge_charge (board, state, member, other);
          merge_state (state, other);
        }
      else
        bl_append (&board->states, bl_state_copy (other), (GDestroyNotify) bl_state_free);
    }
}

static void
override_states (BlBoard *board, const GPtrArray *states)
{
  for (guint i = 0; i < bl_len (states); i++)
    {
      const BlState *own = bl_at (states, i);
      guint at = 0;
      while (at < bl_len (board->states) &&
             g_strcmp0 (((BlState *) bl_at (board->states, at))->id, own->id) != 0)
        at++;
      if (at == bl_len (board->states))
        {
          bl_append (&board->states, bl_state_copy (own), (GDestroyNotify) bl_state_free);
          continue;
        }
      bl_state_free (bl_at (board->states, at));
      bl_at (board->states, at) = bl_state_copy (own);
    }
}

static void
take_board (Join *join, BlBoard *member)
{
  BlBoard *board = join->board;
  merge_states (board, member);
  move_list (&board->photos, &member->photos);
  move_list (&board->sections, &member->sections);
  move_list (&board->ports, &member->ports);
  move_list (&board->stages, &member->stages);
  move_list (&board->components, &member->components);
  move_list (&board->test_points, &member->test_points);
  move_list (&board->measurements, &member->measurements);
  move_list (&board->symptoms, &member->symptoms);
  move_list (&board->indications, &member->indications);
  if (!board->has_mains && member->has_mains)
    {
      board->has_mains = TRUE;
      board->mains_voltage = member->mains_voltage;
      board->mains_frequency = member->mains_frequency;
    }
}

/* --- Shares ----------------------------------------------------------------------------------- */

/* Scales the weights of components from first on to the share of key; all get weights of their own,
 * as the published priors and their components' weights give them. */
static void
scale_weights (Join *join, GPtrArray *components, guint first, const char *key)
{
  BlPath shares = BL_PATH_KEY (join->root, "shares"), at = BL_PATH_KEY (&shares, key);
  g_autoptr (GArray) weights = g_array_new (FALSE, FALSE, sizeof (double));
  double share = NAN, sum = 0;
  if (join->equipment->shares == NULL || first >= bl_len (components))
    return;
  for (guint i = 0; i < join->equipment->shares->len; i++)
    {
      const BlShows *item = &g_array_index (join->equipment->shares, BlShows, i);
      if (g_str_equal (item->condition, key))
        share = item->chance;
    }
  for (guint i = first; i < components->len; i++)
    {
      const BlComponent *component = bl_at (components, i);
      for (guint j = 0; j < bl_len (component->modes); j++)
        {
          double weight =
              bl_board_mode_weight (join->board, component, bl_at (component->modes, j));
          g_array_append_val (weights, weight);
          sum += weight;
        }
    }
  if (isnan (share))
    bl_report_error (join->report, &at,
                     _("required, but left out: shares name every role, and "
                        "conductors where there are any"));
  else if (share > 0 && !(sum > 0))
    bl_report_warning (join->report, &at, _("there is no documented weight that could be scaled"));
  for (guint i = first, n = 0; i < components->len; i++)
    {
      BlComponent *component = bl_at (components, i);
      component->weight = component->factor = NAN; /* both are in the weights now */
      for (guint j = 0; j < bl_len (component->modes); j++, n++)
        ((BlMode *) bl_at (component->modes, j))->weight =
            sum > 0 ? g_array_index (weights, double, n) * (share / sum) : 0;
    }
}

static void
check_shares (Join *join)
{
  BlPath shares = BL_PATH_KEY (join->root, "shares");
  const GArray *items = join->equipment->shares;
  for (guint i = 0; items != NULL && i < items->len; i++)
    {
      const BlShows *item = &g_array_index (items, BlShows, i);
      BlPath at = BL_PATH_KEY (&shares, item->condition);
      gboolean known = g_str_equal (item->condition, BL_SHARE_OF_PARTS);
      for (guint j = 0; j < bl_len (join->equipment->members); j++)
        known = known || g_strcmp0 (((BlMember *) bl_at (join->equipment->members, j))->role,
                                    item->condition) == 0;
      if (!known)
        bl_report_error (join->report, &at, _("there is no role “%s”"), item->condition);
      if (!(item->chance >= 0 && isfinite (item->chance)))
        bl_report_error (join->report, &at, _("%g is out of range: expected at least 0"),
                         item->chance);
    }
}

/* --- Reading the boards ----------------------------------------------------------------------- */

/* Reads a member and takes it in. path is the member's in the equipment. */
static void
join_member (Join *join,
             const BlMember *member,
             BlDocumentLoad load,
             gpointer data,
             const BlPath *path)
{
  BlPath at = BL_PATH_KEY (path, "board");
  const char *file = member->board;
  if (file == NULL)
    {
      bl_report_error (join->report, &at,
                       _("required, but left out: the path of a board document"));
      return;
    }
  if (g_str_has_prefix (file, "./"))
    file += strlen ("./");
  if (!bl_check_is_inside (file))
    {
      bl_report_error (join->report, &at, _("“%s”: expected a relative path inside the folder"),
                       file);
      return;
    }
  g_autoptr (GError) error = NULL;
  gsize length = 0;
  g_autofree char *text = load (file, &length, data, &error);
  if (text == NULL)
    {
      bl_report_error (join->report, &at, "%s",
                       error != NULL ? error->message : _("it could not be read"));
      return;
    }
  g_autofree char *name = g_strconcat (file, ": $", NULL);
  BlPath root = { NULL, name, 0 };
  g_autoptr (BlBoard) board = bl_board_new ();
  guint errors = join->report->errors;
  if (!bl_document_read (text, (gssize) length, "benchlore-board", &bl_board_schema, board,
                         join->report, &root))
    return;
  bl_check_board (board, FALSE, join->report, &root);
  if (errors != join->report->errors || member->role == NULL)
    return;
  bl_board_add_role (board, member->role);
  scale_weights (join, board->components, 0, member->role);
  take_board (join, board);
}

static void
join_members (Join *join, BlCheck *check, BlDocumentLoad load, gpointer data)
{
  const GPtrArray *members = join->equipment->members;
  BlPath boards = BL_PATH_KEY (join->root, "boards");
  bl_check_ids (check, members, "role", &boards);
  if (bl_len (members) == 0)
    bl_report_error (join->report, &boards, _("an equipment has at least one board"));
  if (bl_len (members) > MAX_BOARDS)
    {
      bl_report_error (join->report, &boards, _("an equipment joins at most %d boards"), MAX_BOARDS);
      return;
    }
  for (guint i = 0; i < bl_len (members); i++)
    {
      const BlMember *member = bl_at (members, i);
      BlPath at = BL_PATH_INDEX (&boards, i), role = BL_PATH_KEY (&at, "role");
      if (g_strcmp0 (member->role, BL_SHARE_OF_PARTS) == 0)
        bl_report_error (join->report, &role,
                         _("“%s” is no role: it is all conductors and cables"), member->role);
      join_member (join, member, load, data, &at);
    }
}

/* --- Conductors and cables -------------------------------------------------------------------- */

static BlComponent *
part_component (const BlPart *part, const char *kind)
{
  BlComponent *component = bl_component_new ();
  component->id = g_strdup (part->id);
  component->kind = g_strdup (part->kind != NULL ? part->kind : kind);
  component->title = g_strdup (part->title);
  component->notes = g_strdup (part->notes);
  component->weight = part->weight;
  for (guint i = 0; i < bl_len (part->modes); i++)
    bl_append (&component->modes, bl_mode_copy (bl_at (part->modes, i)),
               (GDestroyNotify) bl_mode_free);
  return component;
}

static void
add_conductor (Join *join, const BlPart *part)
{
  BlStage *stage = bl_stage_new ();
  BlComponent *component = part_component (part, "conductor");
  stage->id = g_strdup (part->id);
  stage->title = g_strdup (part->title);
  component->stage = g_strdup (part->id);
  if (part->from != NULL)
    {
      BlFeed *feed = bl_feed_new ();
      feed->from = g_strdup (part->from);
      stage->has_feeds = TRUE;
      bl_append (&stage->feeds, feed, (GDestroyNotify) bl_feed_free);
    }
  bl_append (&join->board->stages, stage, (GDestroyNotify) bl_stage_free);
  bl_append (&join->board->components, component, (GDestroyNotify) bl_component_free);
}

static void
add_parts (Join *join)
{
  BlEquipment *equipment = join->equipment;
  join->first_component = bl_len (join->board->components);
  for (guint i = 0; i < bl_len (equipment->conductors); i++)
    add_conductor (join, bl_at (equipment->conductors, i));
  for (guint i = 0; i < bl_len (equipment->cables); i++)
    bl_append (&join->board->components, part_component (bl_at (equipment->cables, i), "cable"),
               (GDestroyNotify) bl_component_free);
  scale_weights (join, join->board->components, join->first_component, BL_SHARE_OF_PARTS);
}

/* Finds the port of each conductor, and that no other is joined to it. */
static void
join_ports (Join *join)
{
  const GPtrArray *conductors = join->equipment->conductors;
  BlPath list = BL_PATH_KEY (join->root, "conductors");
  for (guint i = 0; i < bl_len (conductors); i++)
    {
      BlPart *part = bl_at (conductors, i);
      BlPath at = BL_PATH_INDEX (&list, i), to = BL_PATH_KEY (&at, "to");
      gpointer joined = NULL;
      if (part->to == NULL)
        continue;
      if (!g_hash_table_lookup_extended (join->ports, part->to, NULL, &joined))
        bl_report_error (join->report, &to, _("there is no port “%s” (role/port)"), part->to);
      else if (joined != NULL)
        bl_report_error (join->report, &to, _("port “%s” is joined to “%s” already"), part->to,
                         ((BlPart *) joined)->id);
      else
        g_hash_table_insert (join->ports, g_strdup (part->to), part);
    }
}

/* Stages that were fed by a joined port are fed by its conductor now. */
static void
feed_from_conductors (Join *join)
{
  for (guint i = 0; i < bl_len (join->board->stages); i++)
    {
      BlStage *stage = bl_at (join->board->stages, i);
      for (guint j = 0; j < bl_len (stage->feeds); j++)
        {
          BlFeed *feed = bl_at (stage->feeds, j);
          const BlPart *part = NULL;
          if (feed->from != NULL && g_str_has_prefix (feed->from, "port:"))
            part = g_hash_table_lookup (join->ports, feed->from + strlen ("port:"));
          if (part == NULL)
            continue;
          g_free (feed->from);
          feed->from = g_strdup (part->id);
        }
    }
  for (guint i = bl_len (join->board->ports); i-- > 0;)
    if (g_hash_table_lookup (join->ports, ((BlPort *) bl_at (join->board->ports, i))->id) != NULL)
      g_ptr_array_remove_index (join->board->ports, i);
}

/* A conductor and a cable are components in one list of the joined board, so their ids differ. */
static void
check_part_ids (Join *join, BlCheck *check)
{
  BlPath conductors = BL_PATH_KEY (join->root, "conductors"),
         cables = BL_PATH_KEY (join->root, "cables");
  g_autoptr (GHashTable) taken = bl_check_index (join->equipment->conductors);
  bl_check_ids (check, join->equipment->conductors, "id", &conductors);
  bl_check_ids (check, join->equipment->cables, "id", &cables);
  for (guint i = 0; i < bl_len (join->equipment->cables); i++)
    {
      const BlPart *cable = bl_at (join->equipment->cables, i);
      BlPath at = BL_PATH_INDEX (&cables, i), id = BL_PATH_KEY (&at, "id"),
             list = BL_PATH_KEY (&at, "conductors");
      if (cable->id != NULL && g_hash_table_contains (taken, cable->id))
        bl_report_error (join->report, &id, _("“%s” is the id of a conductor"), cable->id);
      for (guint j = 0; cable->conductors != NULL && cable->conductors[j] != NULL; j++)
        if (!g_hash_table_contains (taken, cable->conductors[j]))
          bl_report_error (join->report, &BL_PATH_INDEX (&list, j),
                           _("there is no conductor “%s”"), cable->conductors[j]);
    }
}

static void
check_cable_effects (Join *join, const BlPart *cable, const BlPath *path)
{
  BlPath modes = BL_PATH_KEY (path, "modes");
  for (guint i = 0; i < bl_len (cable->modes); i++)
    {
      const BlMode *mode = bl_at (cable->modes, i);
      BlPath at = BL_PATH_INDEX (&modes, i), effects = BL_PATH_KEY (&at, "effects");
      for (guint j = 0; j < bl_len (mode->effects); j++)
        {
          BlPath effect = BL_PATH_INDEX (&effects, j), on = BL_PATH_KEY (&effect, "on");
          if (((BlEffect *) bl_at (mode->effects, j))->on == NULL)
            bl_report_error (join->report, &on,
                             _("required, but left out: a cable is in no stage of its own"));
        }
    }
}

static void
check_parts (Join *join, BlCheck *check)
{
  const BlEquipment *equipment = join->equipment;
  guint n_conductors = bl_len (equipment->conductors);
  BlPath conductors = BL_PATH_KEY (join->root, "conductors"),
         cables = BL_PATH_KEY (join->root, "cables");
  for (guint i = 0; i < n_conductors + bl_len (equipment->cables); i++)
    {
      gboolean is_conductor = i < n_conductors;
      const BlPart *part = is_conductor ? bl_at (equipment->conductors, i)
                                        : bl_at (equipment->cables, i - n_conductors);
      BlPath at =
          is_conductor ? BL_PATH_INDEX (&conductors, i) : BL_PATH_INDEX (&cables, i - n_conductors);
      bl_check_range (check, part->weight, 0, INFINITY, FALSE, &at, "weight");
      bl_check_modes (check, bl_at (join->board->components, join->first_component + i), &at);
      if (is_conductor)
        bl_check_reference (check, check->stages, part->from, FALSE, _("stage"), &at, "from");
      else
        check_cable_effects (join, part, &at);
    }
  bl_check_feed_loops (check, &conductors, &conductors);
}

/* --- Effects from board to board -------------------------------------------------------------- */

static void
add_effects (Join *join, BlCheck *check)
{
  BlPath list = BL_PATH_KEY (join->root, "effects");
  for (guint i = 0; i < bl_len (join->equipment->effects); i++)
    {
      const BlCrossEffect *cross = bl_at (join->equipment->effects, i);
      BlPath at = BL_PATH_INDEX (&list, i), of_mode = BL_PATH_KEY (&at, "mode"),
             on = BL_PATH_KEY (&at, "on");
      bl_check_reference (check, check->components, cross->of, TRUE, _("component"), &at, "of");
      const BlComponent *component =
          cross->of != NULL ? g_hash_table_lookup (check->components, cross->of) : NULL;
      BlMode *mode = component != NULL ? bl_component_mode (component, cross->mode) : NULL;
      if (cross->mode == NULL)
        bl_report_error (join->report, &of_mode,
                         _("required, but left out: a mode of the component"));
      else if (component != NULL && mode == NULL)
        bl_report_error (join->report, &of_mode, _("%s has no mode “%s”"), cross->of, cross->mode);
      if (cross->effect.on == NULL && (component == NULL || component->stage == NULL))
        bl_report_error (join->report, &on, _("required, but left out"));
      bl_check_effect (check, &cross->effect, component != NULL ? component->stage : NULL, &at);
      if (mode != NULL)
        bl_append (&mode->effects, bl_effect_copy (&cross->effect),
                   (GDestroyNotify) bl_effect_free);
    }
}

/* --- The equipment ---------------------------------------------------------------------------- */

static void
append_copies (GPtrArray **to, const GPtrArray *from, const BlSchema *schema)
{
  for (guint i = 0; i < bl_len (from); i++)
    bl_append (to, bl_schema_copy (schema, bl_at (from, i)), schema->free);
}

/* Those of the equipment stand before its boards': its jobs begin with one of them. */
static void
put_symptoms_first (GPtrArray **to, const GPtrArray *own)
{
  GPtrArray *of_boards = g_steal_pointer (to);

  append_copies (to, own, &bl_symptom_schema);
  move_list (to, &of_boards);
}

static void
add_own (Join *join)
{
  const BlBoard *own = &join->equipment->own;
  BlBoard *board = join->board;
  board->uid = g_strdup (own->uid);
  board->model = g_strdup (join->equipment->title);
  board->notes = g_strdup (join->equipment->notes);
  board->has_odds = own->has_odds;
  board->odds = own->odds;
  board->odds_notes = g_strdup (own->odds_notes);
  override_states (board, own->states);
  append_copies (&board->photos, own->photos, &bl_photo_schema);
  append_copies (&board->test_points, own->test_points, &bl_test_point_schema);
  append_copies (&board->measurements, own->measurements, &bl_measurement_schema);
  put_symptoms_first (&board->symptoms, own->symptoms);
  append_copies (&board->indications, own->indications, &bl_indication_schema);
}

static void
check_own (Join *join, BlCheck *check)
{
  const BlBoard *own = &join->equipment->own;
  bl_check_odds (check, &own->odds, &BL_PATH_KEY (join->root, "odds"));
  bl_check_states (check, own->states, &BL_PATH_KEY (join->root, "states"));
  bl_check_photos (check, own->photos, &BL_PATH_KEY (join->root, "photos"));
  bl_check_test_points (check, own->test_points, &BL_PATH_KEY (join->root, "test_points"));
  bl_check_measurements (check, own->measurements, &BL_PATH_KEY (join->root, "measurements"));
  bl_check_symptoms (check, own->symptoms, &BL_PATH_KEY (join->root, "symptoms"));
  bl_check_indications (check, own->indications, &BL_PATH_KEY (join->root, "indications"));
}

static void
warn_of_unseen (Join *join)
{
  BlPath boards = BL_PATH_KEY (join->root, "boards");
  g_autoptr (GPtrArray) unseen = bl_board_unseen_stages (join->board);
  for (guint i = 0; i < unseen->len; i++)
    bl_report_warning (join->report, &boards, _("no measurement sees stage “%s”"),
                       (const char *) bl_at (unseen, i));
}

static void
find_ports (Join *join)
{
  for (guint i = 0; i < bl_len (join->board->ports); i++)
    g_hash_table_insert (join->ports, g_strdup (((BlPort *) bl_at (join->board->ports, i))->id),
                         NULL);
}

/* Reads the boards. FALSE when one is wrong. */
static gboolean
join_boards (Join *join, BlDocumentLoad load, gpointer data)
{
  g_auto (BlCheck) ids_only;
  bl_check_init (&ids_only, join->board, join->report);
  check_shares (join);
  check_part_ids (join, &ids_only);
  guint errors = join->report->errors;
  join_members (join, &ids_only, load, data);
  return errors == join->report->errors;
}

/* Joins everything, unless a board is wrong: all that refers to it would seem wrong too. */
static void
join_all (Join *join, BlDocumentLoad load, gpointer data)
{
  if (!join_boards (join, load, data))
    return;
  find_ports (join);
  add_parts (join);
  join_ports (join);
  feed_from_conductors (join);
  add_own (join);
  g_auto (BlCheck) check;
  bl_check_init (&check, join->board, join->report);
  check_parts (join, &check);
  add_effects (join, &check);
  check_own (join, &check);
  warn_of_unseen (join);
}

BlBoard *
bl_equipment_parse (const char *text,
                    gssize length,
                    BlDocumentLoad load,
                    gpointer data,
                    GPtrArray *problems,
                    GError **error)
{
  g_return_val_if_fail (text != NULL && load != NULL, NULL);
  g_autoptr (GPtrArray) own = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_auto (BlReport) report;
  g_autoptr (BlEquipment) equipment = bl_schema_new (&bl_equipment_schema);
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (GHashTable) ports = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  Join join = { equipment, board, &report, &BL_PATH_ROOT, ports, 0 };
  bl_report_init (&report, problems != NULL ? problems : own);
  if (bl_document_read (text, length, "benchlore-equipment", &bl_equipment_schema, equipment,
                        &report, join.root))
    join_all (&join, load, data);
  return bl_report_finish (&report, error) ? g_steal_pointer (&board) : NULL;
}
