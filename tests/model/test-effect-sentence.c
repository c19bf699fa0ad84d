/* SPDX-License-Identifier: GPL-3.0-or-later
 * A failure mode written as a sentence is read back as the same; what a technician types in other words is
 * understood; what cannot be read is refused at its place; no text brings the reader down. */
#include "config.h"

#include "bl-effect-sentence.h"

#include "bl-document.h"
#include "bl-edition-parts.h"
#include "bl-edition-sentence.h"
#include "bl-section-template.h"
#include "bl-usual-effects.h"

#include "scratch.h"

#include <math.h>
#include <string.h>

static const char document[]
  = "{\"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"6f1c0d2e-0000-4222-8333-444455556666\","
    " \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\", \"title\": \"Running, joined\"}, {\"id\": \"standby\"}],"
    " \"sections\": [{\"id\": \"s\"}],"
    " \"stages\": [{\"id\": \"rail12\", \"section\": \"s\", \"title\": \"12 V rail\"},"
    "              {\"id\": \"rail5\", \"section\": \"s\", \"title\": \"5 V rail\"},"
    "              {\"id\": \"k1\", \"section\": \"s\", \"title\": \"Relay K1, feeds the other box\"},"
    "              {\"id\": \"odd\", \"section\": \"s\", \"title\": \"5 V rail low\"},"
    "              {\"id\": \"twice\", \"section\": \"s\", \"title\": \"twin\"}],"
    " \"components\": [{\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"rail12\", \"modes\": [{\"mode\": \"open\"}]},"
    "   {\"id\": \"K1\", \"kind\": \"relay\", \"stage\": \"k1\", \"modes\": ["
    "     {\"mode\": \"coil open\", \"notes\": \"seen often\","
    "      \"effects\": [{\"on\": \"k1\", \"is\": \"absent\", \"notes\": \"on its own stage\"}, {\"is\": \"low\"}]},"
    "     {\"mode\": \"contact → burnt, 2 ohm\", \"weight\": 0.1}]},"
    "   {\"id\": \"U2\", \"kind\": \"ic.regulator\", \"stage\": \"rail5\", \"modes\": [{\"mode\": \"short\"}, {\"mode\": \"open\"}]}],"
    " \"measurements\": [{\"id\": \"M5\", \"title\": \"5 V\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail5\","
    "     \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2, \"marks\": [{\"id\": \"about half, or less\", \"low\": 2, \"high\": 3}]}},"
    "   {\"id\": \"R1\", \"title\": \"twin\", \"measures\": \"ohm\", \"state\": \"off\", \"expected\": {\"low\": 10, \"high\": 20}},"
    "   {\"id\": \"R2\", \"title\": \"twin\", \"measures\": \"ohm\", \"state\": \"off\", \"expected\": {\"low\": 10, \"high\": 20}}]}";

static BlBoard *
small_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (document, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

/* --- round trip --- */

static guint
assert_round_trip (const BlBoard *board)
{
  guint n = 0;

  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++, n++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          g_autoptr (GError) error = NULL;
          g_autofree char *text = bl_mode_sentence (board, component, mode);
          g_autoptr (BlMode) back = bl_mode_from_sentence (board, component, text, NULL, &error);
          g_test_message ("%s: %s", component->id, text);
          g_assert_no_error (error);
          g_assert_true (bl_mode_says_same (component, mode, back));
          g_autofree char *again = bl_mode_sentence (board, component, back);
          g_assert_cmpstr (again, ==, text);
        }
    }
  return n;
}

static void
test_demo (void)
{
  static const char *const files[] = { "roof-board.json", "wall-board.json" };
  guint n = 0;

  for (guint i = 0; i < G_N_ELEMENTS (files); i++)
    {
      g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", files[i], NULL);
      g_autofree char *text = NULL;
      g_autoptr (GError) error = NULL;
      g_file_get_contents (path, &text, NULL, &error);
      g_assert_no_error (error);
      g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
      g_assert_no_error (error);
      n += assert_round_trip (board);
    }
  g_assert_cmpuint (n, >, 200);
}

static void
test_templates (void)
{
  GPtrArray *all = bl_section_templates ();

  g_assert_cmpuint (all->len, >, 0);
  for (guint i = 0; i < all->len; i++)
    g_assert_cmpuint (assert_round_trip (((const BlSectionTemplate *) g_ptr_array_index (all, i))->board), >, 0);
}

static void
test_awkward (void)
{
  g_autoptr (BlBoard) board = small_board ();
  BlComponent *relay = bl_board_component (board, "K1");
  BlMode *mode = bl_at (relay->modes, 1);

  assert_round_trip (board);
  bl_mode_set_shows (mode, "", 1.0 / 3);
  bl_mode_set_shows (mode, "wet, “salt”", 0.07);
  mode->weight = 1e-7;
  assert_round_trip (board);
  g_free (mode->mode);
  mode->mode = g_strdup ("in “quotation” marks\" and ”");
  assert_round_trip (board);
  g_free (mode->mode);
  mode->mode = g_strdup ("K1 says its own name");
  assert_round_trip (board);
}

/* --- in other words --- */

static void
test_words (void)
{
  /* What is typed for a mode of U2, and the sentence it is. */
  static const struct
  {
    const char *typed, *is;
  } cases[] = {
    { "short -> 12 v RAIL low, and may blow f1 (20 %)", "short → 12 V rail low, and may blow F1 (20 %)" },
    { "short→12 V rail is low;may blow F1 (0,2)", "short → 12 V rail low, and may blow F1 (20 %)" },
    { "U2 short -> rail12 becomes low. ", "short → 12 V rail low" },
    { "short => 12 V rail low and F1", NULL },
    { "short -> its stage absent", "short → 5 V rail absent" },
    { "short -> 5 V rail absent or low in state run only", "short → 5 V rail absent or low in “Running, joined”" },
    { "short -> 5 V rail low in run or standby, k1 absent",
      "short → 5 V rail low in “Running, joined” or standby, “Relay K1, feeds the other box” absent" },
    { "short -> 5 V rail low in run, standby", "short → 5 V rail low in “Running, joined” or standby" },
    { "short -> 5 V rail low in all states", "short → 5 V rail low" },
    { "short -> 5 V rail low high", "short → 5 V rail low high" },
    { "short -> 5 V absent, M5 high", "short → 5 V absent, 5 V high" },
    { "short -> M5 “about half, or less”", "short → 5 V “about half, or less”" },
    { "short -> M5 at about half, or less", "short → 5 V “about half, or less”" },
    { "short -> R1 OPEN or shorted", "short → R1 open or shorted" },
    { "short -> its stage low, brings about U2 open",
      "short → 5 V rail low, and brings about U2 open" },
    { "short -> nothing", "short → nothing said" },
    { "short -> 5 V rail unsteady, shows half the time, nine in ten when wet",
      "short → 5 V rail unsteady, shows 50 % of the time, 90 % when wet" },
    { "short -> 5 V rail unsteady, shows 1 in 4, 80% if hot, 12 V rail low",
      "short → 5 V rail unsteady, 12 V rail low, shows 25 % of the time, 80 % when hot" },
    { "short -> 5 V rail high, weight 0,05", "short → 5 V rail high, weight 0.05" },
    { "contact, all of it -> 5 V rail high", "“contact, all of it” → 5 V rail high" },
  };
  g_autoptr (BlBoard) board = small_board ();
  const BlComponent *component = bl_board_component (board, "U2");

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (BlMode) mode = bl_mode_from_sentence (board, component, cases[i].typed, NULL, &error);
      g_test_message ("%s", cases[i].typed);
      if (cases[i].is == NULL)
        {
          g_assert_null (mode);
          continue;
        }
      g_assert_no_error (error);
      g_autofree char *text = bl_mode_sentence (board, component, mode);
      g_assert_cmpstr (text, ==, cases[i].is);
    }
}

/* What the words become in the document. */
static void
test_meaning (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlMode) mode = bl_mode_from_sentence (
    board, bl_board_component (board, "U2"),
    "short -> its stage absent, 12 V rail low or unsteady in run, may blow F1 (20 %), shows half the time, 0.9 when wet",
    NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (mode->mode, ==, "short");
  g_assert_cmpuint (mode->effects->len, ==, 2);
  const BlEffect *own = bl_at (mode->effects, 0), *other = bl_at (mode->effects, 1);
  g_assert_null (own->on);
  g_assert_null (own->in);
  g_assert_cmpstr (own->is[0], ==, "absent");
  g_assert_false (own->is_list);
  g_assert_cmpstr (other->on, ==, "rail12");
  g_assert_cmpstr (other->is[0], ==, "low");
  g_assert_cmpstr (other->is[1], ==, "unsteady");
  g_assert_true (other->is_list);
  g_assert_cmpstr (other->in[0], ==, "run");
  g_assert_null (other->in[1]);
  const BlProvokes *link = bl_at (mode->provokes, 0);
  g_assert_cmpstr (link->component, ==, "F1");
  g_assert_cmpstr (link->mode, ==, "open");
  g_assert_cmpfloat (link->chance, ==, 0.2);
  g_assert_cmpfloat (bl_mode_shows (mode, ""), ==, 0.5);
  g_assert_cmpfloat (bl_mode_shows (mode, "wet"), ==, 0.9);
  g_assert_true (isnan (mode->weight));
}

static void
test_refused (void)
{
  /* What is typed, and what stands where it is refused. */
  static const struct
  {
    const char *typed, *at, *reason;
  } cases[] = {
    { "short", "", "arrow" },
    { "short ->", "", "nothing said" },
    { "-> 5 V rail low", "", NULL },
    { "short -> 12 V rial low", "12 V rial low", "called so" },
    { "short -> 12 V rail lwo", "lwo", "absent, unsteady, low, high" },
    { "short -> 12 V rail low or", "", "absent, unsteady, low, high" },
    { "short -> 12 V rail low in flight", "flight", "state" },
    { "short -> 12 V rail low in nothing", "nothing", "state" },
    { "short -> 12 V rail low in shows half the time", "shows half the time", "state" },
    { "short -> \"\" low", "\"\" low", "called so" },
    { "short -> 12 V rail low high", "high", "comma" },
    { "short -> twin open", "twin open", "R1 and R2" },
    { "short -> M5 in band", "in band", "absent, low, high" },
    { "short -> 5 V rail low, may blow F1", "", "how often" },
    { "short -> 5 V rail low, may blow F1 (120 %)", "120 %)", "between" },
    { "short -> 5 V rail low, may blow F1 (20 %", "", "bracket" },
    { "short -> 5 V rail low, may blow F9 (20 %)", "F9 (20 %)", "component" },
    { "short -> 5 V rail low, brings about U2", "", "how U2 fails" },
    { "short -> 5 V rail low, shows often", "often", "how often" },
    { "short -> 5 V rail low, weight much", "much", "figure" },
  };
  g_autoptr (BlBoard) board = small_board ();
  const BlComponent *component = bl_board_component (board, "U2");

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      gsize place = 0;
      BlMode *mode = bl_mode_from_sentence (board, component, cases[i].typed, &place, &error);
      g_assert_null (mode);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
      g_test_message ("%s: %s", cases[i].typed, error->message);
      if (cases[i].reason == NULL)
        continue;
      g_assert_cmpstr (cases[i].typed + place, ==, cases[i].at);
      g_assert_nonnull (strstr (error->message, cases[i].reason));
    }
  g_assert_null (bl_mode_from_sentence (board, component, "short -> \xff\xfe", NULL, NULL));
}

/* --- completion --- */

static gboolean
offers (const char *typed, const char *result)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (GPtrArray) list = bl_sentence_complete (board, bl_board_component (board, "U2"), typed, 12);

  for (guint i = 0; i < list->len; i++)
    {
      const BlCompletion *completion = g_ptr_array_index (list, i);
      g_autofree char *whole = g_strdup_printf ("%.*s%s", (int) completion->from, typed, completion->text);
      if (g_str_equal (whole, result))
        return TRUE;
      g_test_message ("“%s” offers “%s” (%s)", typed, whole, completion->words);
    }
  return FALSE;
}

static void
test_complete (void)
{
  g_assert_true (offers ("", "no output → ")); /* handbook mode of an IC that U2 has not */
  g_assert_true (offers ("imp", "improper output → "));
  g_assert_false (offers ("imp", "no output → "));
  g_assert_true (offers ("short -> ", "short -> rail5 "));
  g_assert_true (offers ("short -> 12 v r", "short -> rail12 "));
  g_assert_true (offers ("short -> rai", "short -> rail5 "));
  g_assert_true (offers ("short -> relay", "short -> k1 "));
  g_assert_true (offers ("short -> 12 V rail ", "short -> 12 V rail unsteady"));
  g_assert_true (offers ("short -> 12 V rail lo", "short -> 12 V rail low"));
  g_assert_true (offers ("short -> M5 ab", "short -> M5 “about half, or less”"));
  g_assert_false (offers ("short -> M5 in", "short -> M5 in band"));
  g_assert_true (offers ("short -> M5 low in r", "short -> M5 low in run "));
  g_assert_true (offers ("short -> M5 low, may b", "short -> M5 low, may blow "));
  g_assert_true (offers ("short -> M5 low, may blow ", "short -> M5 low, may blow F1 "));
  g_assert_true (offers ("short -> M5 low, brings about K1 co", "short -> M5 low, brings about K1 coil open "));
}

/* --- any text --- */

/* Pieces of sentences in no order, cut anywhere, and bytes of no meaning. */
static char *
random_text (GRand *random)
{
  static const char *const pieces[]
    = { "short", "→", "->", " ", ", ", ";", "“", "”", "\"", "(", ")", "12 V rail", "5 V", "M5", "low", "or", "in", "run",
        "may", "blow", "F1", "20 %", "shows", "half", "nine in ten", "when", "weight", "1e", "-", "0,5", "and", ".", "K1",
        "about half", "ß", "Ω", "\xc3", "\xff", "\n", "%", "1e999", "is" };
  GString *text = g_string_new (NULL);

  for (int n = g_rand_int_range (random, 0, 24); n > 0; n--)
    {
      g_string_append (text, pieces[g_rand_int_range (random, 0, G_N_ELEMENTS (pieces))]);
      if (g_rand_boolean (random))
        g_string_append_c (text, ' ');
    }
  g_string_truncate (text, (gsize) g_rand_int_range (random, 0, (int) text->len + 1));
  return g_string_free (text, FALSE);
}

static void
test_any_text (void)
{
  g_autoptr (BlBoard) board = small_board ();
  const BlComponent *component = bl_board_component (board, "U2");
  GRand *random = g_rand_new_with_seed (20261126);
  guint understood = 0;

  for (guint i = 0; i < 6000; i++)
    {
      g_autofree char *tail = random_text (random);
      g_autofree char *text = i % 2 == 0 ? g_strdup (tail) : g_strconcat ("short -> M5 low, ", tail, NULL);
      g_autoptr (GError) error = NULL;
      gsize place = 0;
      g_autoptr (BlMode) mode = bl_mode_from_sentence (board, component, text, &place, &error);
      g_autoptr (GPtrArray) list = bl_sentence_complete (board, component, text, 5);
      g_assert_cmpuint (place, <=, strlen (text));
      g_assert_true ((mode == NULL) == (error != NULL));
      g_assert_cmpuint (list->len, <=, 5);
      for (guint k = 0; k < list->len; k++)
        g_assert_cmpuint (((BlCompletion *) g_ptr_array_index (list, k))->from, <=, strlen (text));
      if (mode == NULL)
        continue;
      understood++;
      g_autofree char *sentence = bl_mode_sentence (board, component, mode);
      g_autoptr (BlMode) back = bl_mode_from_sentence (board, component, sentence, NULL, &error);
      g_assert_no_error (error);
      g_assert_true (bl_mode_says_same (component, mode, back));
    }
  g_test_message ("%u understood", understood);
  g_assert_cmpuint (understood, >, 20);
  g_rand_free (random);
}

/* --- in the open document --- */

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = small_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "sentence.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, id, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->edition);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static char *
on_disk (Fixture *fixture)
{
  g_autoptr (BlBoard) board = bl_library_load_board (fixture->library, bl_edition_get_id (fixture->edition), NULL);
  return bl_document_write (board);
}

static void
test_edition (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = bl_document_write (bl_edition_get_board (fixture->edition)), *name = NULL;
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  const BlComponent *relay = bl_board_component (board, "K1");
  g_autofree char *same = bl_mode_sentence (board, relay, bl_at (relay->modes, 0));
  gsize place;

  /* What says the same changes nothing, not even how it is written down. */
  g_assert_true (bl_edition_set_sentence (fixture->edition, "K1", "coil open", same, NULL, NULL, &error));
  g_assert_no_error (error);
  g_assert_null (bl_edition_get_undo_label (fixture->edition));
  /* A change keeps the notes of what stays; a new name goes to all references. */
  g_assert_true (bl_edition_set_sentence (fixture->edition, "K1", "coil open", "coil broken -> its stage absent, 12 V rail high",
                                          &name, NULL, &error));
  g_assert_no_error (error);
  g_assert_cmpstr (name, ==, "coil broken");
  const BlMode *mode = bl_component_mode (bl_board_component (bl_edition_get_board (fixture->edition), "K1"), "coil broken");
  g_assert_cmpstr (mode->notes, ==, "seen often");
  g_assert_cmpstr (((BlEffect *) bl_at (mode->effects, 0))->notes, ==, "on its own stage");
  g_assert_cmpstr (((BlEffect *) bl_at (mode->effects, 1))->on, ==, "rail12");
  g_autofree char *now = bl_document_write (bl_edition_get_board (fixture->edition)), *disk = on_disk (fixture);
  g_assert_cmpstr (disk, ==, now);
  g_assert_nonnull (bl_edition_get_undo_label (fixture->edition));
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_autofree char *back = on_disk (fixture);
  g_assert_cmpstr (back, ==, before);
  /* Refused: nothing has changed. */
  g_assert_false (bl_edition_set_sentence (fixture->edition, "K1", "coil open", "coil open -> nonsense", NULL, &place, &error));
  g_assert_cmpuint (place, ==, strlen ("coil open -> "));
  g_clear_error (&error);
  g_assert_false (bl_edition_set_sentence (fixture->edition, "U2", "short", "open -> its stage low", NULL, &place, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_edition_set_sentence (fixture->edition, "U2", "short", "short -> its stage low, brings about U2 short",
                                           NULL, &place, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_autofree char *still = on_disk (fixture);
  g_assert_cmpstr (still, ==, before);
}

static void
test_proposed (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_cmpstr (bl_usual_effect ("fuse", "open"), ==, "absent");
  g_assert_cmpstr (bl_usual_effect ("capacitor.electrolytic", "short"), ==, "absent");
  g_assert_null (bl_usual_effect ("capacitor.electrolytic", "open"));
  g_assert_null (bl_usual_effect ("fuseholder", "open"));
  g_assert_null (bl_usual_effect (NULL, "open"));
  g_assert_true (bl_edition_set_sentence (fixture->edition, "U2", NULL, "drift -> its stage low", NULL, NULL, &error));
  g_assert_true (bl_edition_add_usual_modes (fixture->edition, "U2", NULL, &error));
  g_assert_no_error (error);
  const BlComponent *regulator = bl_board_component (bl_edition_get_board (fixture->edition), "U2");
  g_assert_false (bl_mode_is_proposed (bl_component_mode (regulator, "drift")));
  g_assert_false (bl_mode_is_proposed (bl_component_mode (regulator, "improper output")));
  g_assert_true (bl_mode_is_proposed (bl_component_mode (regulator, "no output")));
  g_assert_true (bl_edition_accept_proposed (fixture->edition, "U2", "no output", &error));
  g_assert_no_error (error);
  const BlMode *mode
    = bl_component_mode (bl_board_component (bl_edition_get_board (fixture->edition), "U2"), "no output");
  g_assert_false (bl_mode_is_proposed (mode));
  g_assert_cmpstr (((BlEffect *) bl_at (mode->effects, 0))->notes, ==, BL_ACCEPTED);
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_assert_true (bl_mode_is_proposed (
    bl_component_mode (bl_board_component (bl_edition_get_board (fixture->edition), "U2"), "no output")));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/effect-sentence/demo", test_demo);
  g_test_add_func ("/model/effect-sentence/templates", test_templates);
  g_test_add_func ("/model/effect-sentence/awkward", test_awkward);
  g_test_add_func ("/model/effect-sentence/words", test_words);
  g_test_add_func ("/model/effect-sentence/meaning", test_meaning);
  g_test_add_func ("/model/effect-sentence/refused", test_refused);
  g_test_add_func ("/model/effect-sentence/complete", test_complete);
  g_test_add_func ("/model/effect-sentence/any-text", test_any_text);
  g_test_add ("/model/effect-sentence/edition", Fixture, NULL, set_up, test_edition, tear_down);
  g_test_add ("/model/effect-sentence/proposed", Fixture, NULL, set_up, test_proposed, tear_down);
  return g_test_run ();
}
