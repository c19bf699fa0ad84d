/* SPDX-License-Identifier: GPL-3.0-or-later
 * What an edition still lacks: a board documented from nothing, thing after thing, until nothing is left that must be
 * there; the order; what does not apply. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-edition-checklist.h"
#include "bl-document.h"
#include "bl-edition-parts.h"
#include "bl-library-equipment.h"

#include "example.h"
#include "scratch.h"

#include <string.h>

static gboolean
has (const BlChecklist *list, const char *key)
{
  for (guint i = 0; i < list->open->len; i++)
    if (g_str_has_prefix (((BlThing *) bl_at (list->open, i))->key, key))
      return TRUE;
  return FALSE;
}

static void
add_state (BlBoard *board, const char *id, int live)
{
  BlState *state = bl_state_new ();

  state->id = g_strdup (id);
  state->live = live;
  bl_append (&board->states, state, (GDestroyNotify) bl_state_free);
}

static void
add_stage (BlBoard *board, const char *id)
{
  BlStage *stage = bl_stage_new ();

  stage->id = g_strdup (id);
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
}

static BlComponent *
add_component (BlBoard *board, const char *id, const char *stage, double weight, gboolean effect)
{
  BlComponent *component = bl_component_new ();
  BlMode *mode = bl_mode_new ();

  component->id = g_strdup (id);
  component->stage = g_strdup (stage);
  mode->mode = g_strdup ("open");
  mode->weight = weight;
  if (effect)
    {
      BlEffect *absent = bl_effect_new ();
      absent->is = g_strsplit ("absent", " ", -1);
      bl_append (&mode->effects, absent, (GDestroyNotify) bl_effect_free);
    }
  bl_append (&component->modes, mode, (GDestroyNotify) bl_mode_free);
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  return component;
}

static BlMeasurement *
add_measurement (BlBoard *board, const char *id, const char *at, const char *reads)
{
  BlMeasurement *measurement = bl_measurement_new ();

  measurement->id = g_strdup (id);
  measurement->at = g_strdup (at);
  measurement->reads = g_strdup (reads);
  measurement->measures = BL_MEASURES_V_DC;
  measurement->state = g_strdup ("run");
  bl_append (&board->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  return measurement;
}

static const char *
first_key (const BlBoard *board, char **kept)
{
  g_autoptr (BlChecklist) list = bl_checklist_new (board, NULL, NULL);

  g_free (*kept);
  *kept = list->open->len > 0 ? g_strdup (((BlThing *) bl_at (list->open, 0))->key) : NULL;
  return *kept;
}

/* What must be there comes first, in the order in which a board is documented, and each once. */
static void
test_from_nothing (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autofree char *kept = NULL;
  BlPhoto *photo = bl_photo_new ();

  g_assert_cmpstr (first_key (board, &kept), ==, "photo\t");
  photo->id = g_strdup ("front");
  photo->side = g_strdup ("front");
  bl_append (&board->photos, photo, (GDestroyNotify) bl_photo_free);
  g_assert_cmpstr (first_key (board, &kept), ==, "live-state\t");
  add_state (board, "run", 1);
  g_assert_cmpstr (first_key (board, &kept), ==, "stages\t");
  add_stage (board, "rail");
  g_assert_cmpstr (first_key (board, &kept), ==, "measurements\t");
  add_measurement (board, "M1", NULL, "rail");
  g_assert_cmpstr (first_key (board, &kept), ==, "components\t");
  add_component (board, "R1", "rail", 1, TRUE);
  {
    g_autoptr (BlChecklist) list = bl_checklist_new (board, NULL, NULL);
    g_assert_true (list->usable);
    g_assert_false (has (list, "proof"));
    g_assert_true (has (list, "dead-state"));
    g_assert_true (has (list, "expected"));
    g_assert_true (has (list, "scale"));
    g_assert_cmpuint (list->n_done, <, list->n_checks);
  }
  /* One without power has to be proven dead: that is no matter of gain. */
  add_state (board, "off", 0);
  g_assert_true (g_str_has_prefix (first_key (board, &kept), "proof\t"));
  g_autoptr (BlChecklist) list = bl_checklist_new (board, NULL, NULL);
  g_assert_false (list->usable);
}

/* Of two of a kind the one that more faults stand behind comes first. */
static void
test_order (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (BlChecklist) list = NULL;
  guint rail = 0, relay = 0;

  add_stage (board, "relay");
  add_stage (board, "rail");
  add_component (board, "K1", "relay", 1, TRUE);
  add_component (board, "C1", "rail", 9, TRUE);
  list = bl_checklist_new (board, NULL, NULL);
  for (guint i = 0; i < list->open->len; i++)
    {
      const BlThing *thing = bl_at (list->open, i);
      if (thing->kind != BL_THING_STAGE_UNMEASURED)
        continue;
      /* 9 of 10 failures, and 1 of 10. */
      if (g_str_equal (thing->ref.id, "rail"))
        {
          rail = i;
          g_assert_cmpfloat_with_epsilon (thing->share, 0.9, 1e-9);
        }
      else
        {
          relay = i;
          g_assert_cmpfloat_with_epsilon (thing->share, 0.1, 1e-9);
        }
    }
  g_assert_cmpuint (rail, >, 0);
  g_assert_cmpuint (rail, <, relay);
}

/* Each check finds what it is for, and nothing once that is there. */
static void
test_each (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (BlChecklist) lacking = NULL, done = NULL;
  BlTestPoint *point = bl_test_point_new (), *other = bl_test_point_new ();
  BlPhoto *photo = bl_photo_new ();
  BlSection *section = bl_section_new ();
  BlMeasurement *measurement;
  BlComponent *component;
  static const char *const keys[] = { "expected", "black", "place", "point-unused", "effect", "weights",
                                      "section-empty", "symptoms", "indications", "outline", "scale", "reads", "name" };

  photo->id = g_strdup ("front");
  bl_append (&board->photos, photo, (GDestroyNotify) bl_photo_free);
  add_state (board, "run", 1);
  add_stage (board, "rail");
  section->id = g_strdup ("supply");
  bl_append (&board->sections, section, (GDestroyNotify) bl_section_free);
  point->id = g_strdup ("TP1");
  other->id = g_strdup ("TP2");
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
  bl_append (&board->test_points, other, (GDestroyNotify) bl_test_point_free);
  measurement = add_measurement (board, "M1", "TP1", NULL);
  component = add_component (board, "R1", "rail", 1, FALSE);
  add_component (board, "R2", "rail", 1, TRUE);
  add_component (board, "R3", "rail", 1, TRUE);
  lacking = bl_checklist_new (board, NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (!has (lacking, keys[i]))
      g_error ("%s is not found", keys[i]);

  measurement->has_expected = TRUE;
  measurement->expected.nominal.value = 5;
  measurement->reads = g_strdup ("rail");
  measurement->black = g_strdup ("TP2");
  g_autoptr (BlChecklist) half = bl_checklist_new (board, NULL, NULL);
  g_assert_true (has (half, "limits"));
  g_assert_true (has (half, "source"));
  measurement->expected.tolerance = g_strdup ("4 %");
  measurement->expected.source = g_strdup ("service sheet");
  point->photo = g_strdup ("front");
  other->photo = g_strdup ("front");
  photo->mm_per_px = 0.05;
  ((BlStage *) bl_at (board->stages, 0))->section = g_strdup ("supply");
  ((BlMode *) bl_at (component->modes, 0))->weight = 3;
  done = bl_checklist_new (board, NULL, NULL);
  static const char *const gone[] = { "expected", "limits", "source", "black", "place", "point-unused", "weights",
                                      "section-empty", "scale", "reads" };
  for (guint i = 0; i < G_N_ELEMENTS (gone); i++)
    if (has (done, gone[i]))
      g_error ("%s is still said to be missing", gone[i]);
  g_assert_cmpuint (done->n_done, >, lacking->n_done);
}

/* What measurements cannot tell apart, and where one more would help, from the coverage. */
static void
test_groups (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (BlChecklist) list = NULL;
  g_autoptr (BlCoverage) coverage = NULL;
  g_autoptr (GError) error = NULL;
  BlMeasurement *measurement;

  add_state (board, "run", 1);
  add_stage (board, "rail");
  add_component (board, "R1", "rail", 1, TRUE);
  add_component (board, "R2", "rail", 2, TRUE);
  measurement = add_measurement (board, "M1", NULL, "rail");
  measurement->has_expected = TRUE;
  measurement->expected.nominal.value = 5;
  measurement->expected.tolerance = g_strdup ("4 %");
  coverage = bl_coverage_new (board, TRUE, NULL, &error);
  g_assert_no_error (error);
  list = bl_checklist_new (board, coverage, NULL);
  const BlThing *group = NULL;
  for (guint i = 0; i < list->open->len; i++)
    if (((BlThing *) bl_at (list->open, i))->kind == BL_THING_GROUP)
      group = bl_at (list->open, i);
  g_assert_nonnull (group);
  g_assert_nonnull (strstr (group->words, "R1"));
  g_assert_nonnull (strstr (group->words, "R2"));
  g_assert_nonnull (strstr (group->words, "would part them"));
}

static void
test_aside (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "test.benchlore-library");
  BlLibrary *library = bl_library_open (path, TRUE, NULL);
  g_autoptr (BlBoard) board = example_board ();
  gint64 id = bl_library_add_board (library, board, FALSE, NULL);
  g_autoptr (BlEdition) edition = bl_edition_new (library, id, NULL);
  g_autoptr (BlChecklist) before = bl_checklist_new (board, NULL, NULL), after = NULL, back = NULL;
  g_autoptr (GHashTable) none = NULL;
  g_auto (BlChecklistBeside) beside = { NULL, NULL };
  const BlThing *first = bl_at (before->open, 0);

  g_assert_cmpuint (before->open->len, >, 1);
  g_assert_true (bl_edition_set_aside (edition, first, TRUE, NULL));
  bl_library_close (library);
  library = bl_library_open (path, FALSE, NULL);
  g_clear_object (&edition);
  edition = bl_edition_new (library, id, NULL);
  bl_checklist_beside_read (&beside, library, id);
  after = bl_checklist_new (board, NULL, &beside);
  g_assert_cmpuint (after->open->len, ==, before->open->len - 1);
  g_assert_cmpuint (after->aside->len, ==, 1);
  g_assert_cmpstr (((BlThing *) bl_at (after->aside, 0))->key, ==, first->key);
  /* As any other step it can be undone. */
  g_assert_true (g_str_has_prefix (bl_edition_get_undo_label (edition), "set aside"));
  g_assert_true (bl_edition_undo (edition, NULL));
  none = bl_library_things_aside (library, id, NULL);
  g_assert_cmpuint (g_hash_table_size (none), ==, 0);
  g_assert_true (bl_edition_redo (edition, NULL));
  g_assert_true (bl_edition_set_aside (edition, first, FALSE, NULL));
  g_hash_table_unref (g_steal_pointer (&none));
  none = bl_library_things_aside (library, id, NULL);
  g_assert_cmpuint (g_hash_table_size (none), ==, 0);
  g_clear_object (&edition);
  bl_library_close (library);
  scratch_free (folder);
}

static BlBoard *
demo_board (const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
  g_autofree char *text = NULL;
  BlBoard *board;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  board = bl_document_parse (text, -1, NULL, NULL);
  g_assert_nonnull (board);
  return board;
}

static gboolean
leads_nowhere (const BlChecklist *list, const char *measurement)
{
  for (guint i = 0; i < list->open->len; i++)
    {
      const BlThing *thing = bl_at (list->open, i);
      if (thing->kind == BL_THING_READS_NOTHING && g_strcmp0 (thing->ref.id, measurement) == 0)
        return TRUE;
    }
  return FALSE;
}

/* The far end of the link in the near unit's space: no part of its own board acts on it, a transistor of the other
 * board does. The lifted line is read as it should be whatever is broken on either board: it leads nowhere. */
static void
test_equipment (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "test.benchlore-library"), *text = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "pair.json", NULL);
  BlLibrary *library = bl_library_open (path, TRUE, NULL);
  g_autoptr (BlBoard) wall = demo_board ("wall-board.json"), roof = demo_board ("roof-board.json");
  gint64 boards[] = { bl_library_add_board (library, wall, FALSE, NULL), bl_library_add_board (library, roof, FALSE, NULL) };
  g_auto (BlChecklistBeside) alone = { NULL, NULL }, joined = { NULL, NULL };
  g_autoptr (BlEquipment) pair = NULL;

  bl_checklist_beside_read (&alone, library, boards[1]);
  g_autoptr (BlChecklist) before = bl_checklist_new (roof, NULL, &alone);
  g_assert_true (leads_nowhere (before, "S-SW"));
  g_assert_true (g_file_get_contents (document, &text, NULL, NULL));
  pair = bl_equipment_read (text, -1, NULL, NULL);
  g_assert_nonnull (pair);
  g_assert_cmpint (bl_library_put_equipment (library, 0, pair, boards, NULL), !=, 0);
  bl_checklist_beside_read (&joined, library, boards[1]);
  g_autoptr (BlChecklist) after = bl_checklist_new (roof, NULL, &joined);
  g_assert_false (leads_nowhere (after, "S-SW"));
  g_assert_true (leads_nowhere (after, "S-LI"));
  g_assert_cmpuint (after->open->len, ==, before->open->len - 1);
  bl_library_close (library);
  scratch_free (folder);
}

/* While it is not known what measurements tell, its checks are there, and not done. */
static void
test_counts (void)
{
  g_autoptr (BlBoard) board = demo_board ("wall-board.json");
  g_autoptr (BlCoverage) coverage = bl_coverage_new (board, TRUE, NULL, NULL);
  g_autoptr (BlChecklist) unknown = bl_checklist_new (board, NULL, NULL), known = bl_checklist_new (board, coverage, NULL);

  g_assert_cmpuint (unknown->n_checks, ==, known->n_checks);
  g_assert_cmpuint (unknown->n_done, <=, known->n_done);
}

/* The walk: one after the other, and from one that is done to the best that is left. */
static void
test_walk (void)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (BlChecklist) list = bl_checklist_new (board, NULL, NULL);
  const BlThing *thing = bl_checklist_next (list, NULL);

  for (guint i = 0; i < list->open->len; i++)
    {
      g_assert_true (thing == bl_at (list->open, i));
      g_assert_cmpuint (strlen (thing->why), >, 10);
      thing = bl_checklist_next (list, thing->key);
    }
  g_assert_true (thing == bl_at (list->open, 0));
  g_assert_true (bl_checklist_next (list, "one that is done") == thing);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/checklist/from-nothing", test_from_nothing);
  g_test_add_func ("/model/checklist/order", test_order);
  g_test_add_func ("/model/checklist/each", test_each);
  g_test_add_func ("/model/checklist/groups", test_groups);
  g_test_add_func ("/model/checklist/aside", test_aside);
  g_test_add_func ("/model/checklist/equipment", test_equipment);
  g_test_add_func ("/model/checklist/counts", test_counts);
  g_test_add_func ("/model/checklist/walk", test_walk);
  return g_test_run ();
}
