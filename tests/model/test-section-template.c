/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Templates of sections: each one a sound document that finds its own faults, and insertion keeps a board
 * sound whatever names are taken. */
#include "config.h"

#include "bl-section-template.h"

#include "bl-board-edit.h"
#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-simulate.h"

#include <string.h>

#define STAGE_FIRST 0.85 /* share of a template's faults whose stage comes first */

static BlBoard *
empty_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (
      "{\"format\": \"benchlore-board\", \"version\": 1,"
      " \"states\": [{\"id\": \"cold\", \"live\": false}, {\"id\": \"on\", \"live\": true, \"volts\": 12}]}",
      -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

/* What the document's checks find, warnings of the trade left out. */
static void
assert_sound (const BlBoard *board)
{
  g_autofree char *text = bl_document_write (board);
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) again = bl_document_parse (text, -1, problems, &error);

  g_assert_no_error (error);
  for (guint i = 0; i < problems->len; i++)
    g_test_message ("%s: %s", ((BlProblem *) bl_at (problems, i))->path, ((BlProblem *) bl_at (problems, i))->message);
  g_assert_cmpuint (problems->len, ==, 0);
}

static void
test_documents (void)
{
  GPtrArray *all = bl_section_templates ();

  g_assert_cmpuint (all->len, >=, 12);
  for (guint i = 0; i < all->len; i++)
    {
      const BlSectionTemplate *template = g_ptr_array_index (all, i);
      g_assert_true (bl_section_template_find (template->id) == template);
      g_assert_nonnull (template->board->notes);
      g_assert_nonnull (bl_section_template_title (template));
      assert_sound (template->board);
      for (guint m = 0; m < template->board->measurements->len; m++)
        g_assert_nonnull (((BlMeasurement *) bl_at (template->board->measurements, m))->expected.source);
      for (guint c = 0; c < template->board->components->len; c++)
        g_assert_cmpuint (bl_len (((BlComponent *) bl_at (template->board->components, c))->modes), >, 0);
    }
}

static guint
rank_of (GPtrArray *odds, const char *id)
{
  for (guint i = 0; i < odds->len; i++)
    if (g_str_equal (((BlOdd *) bl_at (odds, i))->id, id))
      return i;
  return odds->len;
}

static gboolean
deviates (const BlDiagnosis *diagnosis)
{
  for (guint i = 0; i < diagnosis->readings->len; i++)
    {
      const BlJudged *judged = bl_at (diagnosis->readings, i);
      const char *word = bl_verdict_label (judged->verdict);
      if (!g_str_equal (word, "in band") && !g_str_equal (word, "as expected"))
        return TRUE;
    }
  return FALSE;
}

/* Every documented fault that shows, simulated, then diagnosed from all readings. */
static void
test_finds_faults (void)
{
  GPtrArray *all = bl_section_templates ();

  for (guint i = 0; i < all->len; i++)
    {
      const BlSectionTemplate *template = g_ptr_array_index (all, i);
      g_autoptr (BlBoard) board = bl_board_copy (template->board);
      guint shown = 0, first = 0;
      board->odds.setup = 0; /* the simulation knows no wrong lead or state */
      g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
      g_assert_nonnull (engine);
      for (guint c = 0; c < board->components->len; c++)
        {
          const BlComponent *component = bl_at (board->components, c);
          for (guint m = 0; m < component->modes->len; m++)
            {
              g_autofree char *fault
                  = g_strconcat (component->id, ":", ((BlMode *) bl_at (component->modes, m))->mode, NULL);
              const char *const faults[] = { fault, NULL };
              g_autoptr (GPtrArray) entries = bl_simulate (board, faults, 7, "", NULL);
              g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, NULL);
              g_assert_nonnull (diagnosis);
              if (!deviates (diagnosis))
                continue;
              shown++;
              first += rank_of (diagnosis->stages, component->stage) == 0;
              if (rank_of (diagnosis->stages, component->stage) > 0)
                g_test_message ("%s: %s is found in %s", template->id, fault,
                                ((BlOdd *) bl_at (diagnosis->stages, 0))->id);
            }
        }
      g_test_message ("%s: %u faults show, stage first in %u", template->id, shown, first);
      g_assert_cmpfloat (first, >=, STAGE_FIRST * shown);
    }
}

/* All templates one after the other, each fed by the last stage so far, and everything twice. */
static void
test_insert_all (void)
{
  GPtrArray *all = bl_section_templates ();
  g_autoptr (BlBoard) board = empty_board ();
  g_autofree char *last = NULL;
  guint stages = 0, components = 0;

  for (guint round = 0; round < 2; round++)
    for (guint i = 0; i < all->len; i++)
      {
        const BlSectionTemplate *template = g_ptr_array_index (all, i);
        g_autoptr (GHashTable) feeds = g_hash_table_new (g_str_hash, g_str_equal);
        g_autoptr (GPtrArray) added = g_ptr_array_new_with_free_func (g_free);
        for (guint p = 0; last != NULL && p < bl_len (template->board->ports); p++)
          g_hash_table_insert (feeds, ((BlPort *) bl_at (template->board->ports, p))->id, last);
        bl_section_template_insert (template, feeds, board, added);
        stages += template->board->stages->len;
        components += template->board->components->len;
        g_assert_cmpuint (added->len, ==, template->board->stages->len);
        g_free (last);
        last = g_strdup (bl_at (added, 0));
        assert_sound (board);
      }
  g_assert_cmpuint (board->stages->len, ==, stages);
  g_assert_cmpuint (board->components->len, ==, components);
  g_assert_cmpuint (bl_len (board->ports), ==, 0);
  g_assert_false (bl_board_has (board, BL_KIND_STATE, "off")); /* the board calls them cold and on */
  g_assert_false (bl_board_has (board, BL_KIND_STATE, "run"));
  const BlState *cold = bl_at (board->states, 0), *on = bl_at (board->states, 1);
  g_assert_true (g_strv_contains ((const char *const *) cold->dead_proof, "P-LN"));
  g_assert_true (g_strv_contains ((const char *const *) cold->dead_proof, "P-LN-2"));
  g_assert_cmpfloat (on->volts, ==, 360);
}

static void
test_names (void)
{
  const BlSectionTemplate *relay = bl_section_template_find ("relay-output");
  g_autoptr (BlBoard) board = empty_board ();
  g_autoptr (GHashTable) feeds = g_hash_table_new (g_str_hash, g_str_equal);

  bl_section_template_insert (bl_section_template_find ("linear-regulators"), NULL, board, NULL);
  g_hash_table_insert (feeds, (gpointer) "RAIL", (gpointer) "rail5");
  bl_section_template_insert (relay, feeds, board, NULL);
  bl_section_template_insert (relay, feeds, board, NULL);
  g_assert_true (bl_board_has (board, BL_KIND_COMPONENT, "K2"));
  g_assert_true (bl_board_has (board, BL_KIND_COMPONENT, "K3")); /* counted on */
  g_assert_true (bl_board_has (board, BL_KIND_STAGE, "coil-2"));
  g_assert_true (bl_board_has (board, BL_KIND_MEASUREMENT, "CDROP-2"));
  g_assert_cmpuint (board->sections->len, ==, 2); /* supply, relay: one each */
  const BlStage *coil = bl_board_stage (board, "coil-2");
  g_assert_cmpuint (coil->feeds->len, ==, 2);
  g_assert_cmpstr (((BlFeed *) bl_at (coil->feeds, 0))->from, ==, "driver-2");
  g_assert_cmpstr (((BlFeed *) bl_at (coil->feeds, 1))->from, ==, "rail5");
  const BlStage *contact = bl_board_stage (board, "contact-2");
  g_assert_cmpuint (contact->feeds->len, ==, 1); /* nobody said what the contact switches */
  const BlComponent *k3 = bl_board_component (board, "K3");
  const BlMode *film = bl_component_mode (k3, "contact film");
  g_assert_cmpstr (((BlEffect *) bl_at (film->effects, 1))->on, ==, "CDROP-2");
  assert_sound (board);
}

/* A relay after supply and controller: its coil is fed by the 12 V, its driver by the controller. */
static void
test_guess (void)
{
  g_autoptr (BlBoard) board = empty_board ();
  const BlSectionTemplate *relay = bl_section_template_find ("relay-output");

  bl_section_template_insert (bl_section_template_find ("mains-inlet"), NULL, board, NULL);
  bl_section_template_insert (bl_section_template_find ("isolated-supply"), NULL, board, NULL);
  bl_section_template_insert (bl_section_template_find ("linear-regulators"), NULL, board, NULL);
  bl_section_template_insert (bl_section_template_find ("controller-core"), NULL, board, NULL);
  g_autoptr (GHashTable) feeds = bl_section_template_guess (relay, board);
  g_assert_cmpstr (g_hash_table_lookup (feeds, "RAIL"), ==, "secondary");
  g_assert_cmpstr (g_hash_table_lookup (feeds, "DRIVE"), ==, "vdd"); /* "Supply at the controller" comes first */
  g_assert_null (g_hash_table_lookup (feeds, "nothing"));
  g_autoptr (GHashTable) rectifier = bl_section_template_guess (bl_section_template_find ("rectifier-bulk"), board);
  g_assert_cmpstr (g_hash_table_lookup (rectifier, "INRUSH"), ==, "inrush"); /* by the name of the stage itself */
  g_autoptr (BlBoard) empty = empty_board ();
  g_autoptr (GHashTable) none = bl_section_template_guess (relay, empty);
  g_assert_cmpuint (g_hash_table_size (none), ==, 0);
}

/* One step of undo, on disk at once. */
static void
test_edition (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  g_autoptr (BlBoard) board = empty_board (), saved = NULL;
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  g_autoptr (BlEdition) edition = bl_edition_new (library, id, &error);

  g_assert_no_error (error);
  g_assert_true (
      bl_edition_insert_template (edition, bl_section_template_find ("controller-core"), NULL, NULL, &error));
  g_assert_no_error (error);
  g_assert_nonnull (strstr (bl_edition_get_undo_label (edition), "Controller core"));
  saved = bl_library_load_board (library, id, &error);
  g_assert_nonnull (bl_board_stage (saved, "reset"));
  g_assert_true (bl_edition_undo (edition, &error));
  g_assert_cmpuint (bl_len (bl_edition_get_board (edition)->stages), ==, 0);
  g_assert_true (bl_edition_redo (edition, &error));
  g_assert_nonnull (bl_board_stage (bl_edition_get_board (edition), "reset"));
}

/* Neutral and 0 V are one point each, whatever sections measure against them; points that only share a name are
 * two. */
static void
test_shared_points (void)
{
  g_autoptr (BlBoard) board = empty_board ();
  guint found = 0;

  bl_section_template_insert (bl_section_template_find ("mains-inlet"), NULL, board, NULL);
  bl_section_template_insert (bl_section_template_find ("relay-output"), NULL, board, NULL);
  bl_section_template_insert (bl_section_template_find ("link-far-end"), NULL, board, NULL);
  for (guint i = 0; i < board->test_points->len; i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      found += g_str_equal (point->title, "N") || g_str_equal (point->title, "0 V");
      if (g_str_equal (point->title, "behind the PTC"))
        g_assert_cmpstr (point->id, !=, "TPB"); /* which is L at the rectifier */
    }
  g_assert_cmpuint (found, ==, 2);
  g_assert_cmpstr (bl_board_measurement (board, "OUT")->black, ==, "TPN");
  assert_sound (board);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/section-template/documents", test_documents);
  g_test_add_func ("/model/section-template/finds-faults", test_finds_faults);
  g_test_add_func ("/model/section-template/insert-all", test_insert_all);
  g_test_add_func ("/model/section-template/names", test_names);
  g_test_add_func ("/model/section-template/shared-points", test_shared_points);
  g_test_add_func ("/model/section-template/guess", test_guess);
  g_test_add_func ("/model/section-template/edition", test_edition);
  return g_test_run ();
}
