/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sets of drills on a board of usual size, by a clock of the test and made-up results: what is due comes first, the rest from
 * easy to hard, weak spots oftener, and the same set for two people. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-practice-private.h"

#include "bl-document.h"
#include "bl-library-steps.h"

#define DAY (24 * 3600 * (gint64) G_USEC_PER_SEC)
#define MONDAY (G_GINT64_CONSTANT (1796040000) * G_USEC_PER_SEC) /* 2026-11-30 12:00 UTC */

static gint64 now = MONDAY;

static gint64
test_clock (void)
{
  return now;
}

typedef struct
{
  BlLibrary *shop;
  BlPractice *practice;
  BlBoard *document;
  gint64 board;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "wall-board.json", NULL), *text = NULL;
  g_autoptr (GError) error = NULL;

  now = MONDAY;
  bl_library_set_clock (test_clock);
  g_assert_true (g_file_get_contents (path, &text, NULL, &error));
  fixture->document = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  fixture->shop = bl_library_open (":memory:", TRUE, &error);
  fixture->board = bl_library_add_board (fixture->shop, fixture->document, FALSE, &error);
  g_assert_no_error (error);
  fixture->practice = bl_practice_new (fixture->shop, ":memory:", &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_assert_finalize_object (fixture->practice);
  bl_library_close (fixture->shop);
  bl_board_free (fixture->document);
  bl_library_set_clock (NULL);
}

static gint64
add_person (Fixture *fixture, const char *name)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_practice_add_person (fixture->practice, name, &error);

  g_assert_no_error (error);
  return id;
}

/* The set, in the order in which it is to be done. (transfer full) */
static GPtrArray *
compose (Fixture *fixture, gint64 person, guint n, guint kinds)
{
  BlPracticeOrder order = { { fixture->board, 0 }, n, kinds, NULL, 7, NULL };
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, n);
  g_assert_no_error (error);
  GPtrArray *drills = bl_practice_drills (fixture->practice, person, &error);
  for (guint i = drills->len; i > 0; i--)
    if (((BlDrillRow *) bl_at (drills, i - 1))->job != 0)
      g_ptr_array_remove_index (drills, i - 1);
  g_assert_cmpuint (drills->len, ==, n);
  return drills;
}

/* What a row is about: kind of section, or family. (transfer full) */
static char *
about (Fixture *fixture, const BlDrillRow *row, gboolean family)
{
  return family ? bl_practice_family_of (fixture->document, row->faults[0])
                : g_strdup (bl_practice_section_of (fixture->document, row->faults[0]));
}

static void
set_due (Fixture *fixture, gint64 person, BlTopicKind kind, const char *name, int days)
{
  guint32 today = bl_practice_today (fixture->practice);
  BlTopicRow row = { kind, (char *) name, { (guint32) ((int) today + days), 1, 1 } };
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_put_topic (bl_practice_get_library (fixture->practice), person, &row, &error));
}

static double
bits_of (Fixture *fixture, const BlDrillRow *row)
{
  BlDrillOrder order = { row->kind, NULL, row->seed };
  g_autoptr (BlDrill) drill = bl_drill_new (fixture->document, &order, NULL);

  g_assert_true (g_strv_equal (bl_drill_faults (drill), (const char *const *) row->faults));
  return bl_drill_bits (drill);
}

/* Nothing is known of the person: kinds share the set, the easy first, what is easier to find before what is harder, all over
 * the board and no fault twice. */
static void
test_newcomer (Fixture *fixture, gconstpointer data)
{
  static const BlDrillKind kinds[] = { BL_DRILL_SINGLE, BL_DRILL_SINGLE, BL_DRILL_SINGLE, BL_DRILL_MISREAD, BL_DRILL_MISREAD,
                                       BL_DRILL_MISREAD, BL_DRILL_TWO, BL_DRILL_TWO, BL_DRILL_TWO };
  gint64 person = add_person (fixture, "ab");
  g_autoptr (GPtrArray) set = compose (fixture, person, G_N_ELEMENTS (kinds),
                                       1 << BL_DRILL_TWO | 1 << BL_DRILL_SINGLE | 1 << BL_DRILL_MISREAD);
  g_autoptr (GHashTable) sections = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GHashTable) faults = g_hash_table_new (g_str_hash, g_str_equal);
  double before = 0;

  for (guint i = 0; i < set->len; i++)
    {
      const BlDrillRow *row = bl_at (set, i);
      double bits = bits_of (fixture, row);
      char *section = about (fixture, row, FALSE);
      g_test_message ("%s, seed %u: %s, %s, %.2f bits", bl_drill_kind_name (row->kind), row->seed, row->faults[0], section, bits);
      g_assert_cmpint (row->kind, ==, kinds[i]);
      if (i > 0 && kinds[i] == kinds[i - 1])
        g_assert_cmpfloat (bits, >=, before);
      before = bits;
      g_assert_true (g_hash_table_add (faults, row->faults[0]));
      if (section != NULL)
        g_hash_table_add (sections, section);
    }
  g_assert_cmpuint (g_hash_table_size (sections), >=, 4);
}

/* What is due today or was due before comes first, the longest due first; what is due in some days does not. */
static void
test_due_first (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab"), other = add_person (fixture, "cd");

  set_due (fixture, person, BL_TOPIC_FAMILY, "poor contact", -2);
  set_due (fixture, person, BL_TOPIC_SECTION, "sensor", 0);
  set_due (fixture, person, BL_TOPIC_SECTION, "relay", 5);
  set_due (fixture, other, BL_TOPIC_FAMILY, "poor contact", 1);
  set_due (fixture, other, BL_TOPIC_SECTION, "sensor", 2);
  set_due (fixture, other, BL_TOPIC_SECTION, "relay", 0);
  g_autoptr (GPtrArray) set = compose (fixture, person, 5, 1 << BL_DRILL_SINGLE);
  g_autoptr (GPtrArray) set_of_other = compose (fixture, other, 5, 1 << BL_DRILL_SINGLE);
  g_autofree char *first = about (fixture, bl_at (set, 0), TRUE), *second = about (fixture, bl_at (set, 1), FALSE);
  g_autofree char *first_of_other = about (fixture, bl_at (set_of_other, 0), FALSE);

  g_assert_cmpstr (first, ==, "poor contact");
  g_assert_cmpstr (second, ==, "sensor");
  g_assert_cmpstr (first_of_other, ==, "relay");
  for (guint i = 3; i < set->len; i++) /* the rest from easy to hard */
    g_assert_cmpfloat (bits_of (fixture, bl_at (set, i)), >=, bits_of (fixture, bl_at (set, i - 1)));
  /* Some days later more of it is due. */
  for (guint i = 0; i < set->len; i++)
    g_assert_true (bl_practice_delete_drill (fixture->practice, ((BlDrillRow *) bl_at (set, i))->id, NULL));
  now += 6 * DAY;
  g_autoptr (GPtrArray) later = compose (fixture, person, 3, 1 << BL_DRILL_SINGLE);
  gboolean relay = FALSE;
  for (guint i = 0; i < 3; i++)
    {
      g_autofree char *section = about (fixture, bl_at (later, i), FALSE);
      relay |= g_strcmp0 (section, "relay") == 0;
    }
  g_assert_true (relay);
}

/* Where this section alone is due, and the easy kind's stock has no drill in it, one of another kind that is wanted comes
 * first. The stock of the easy kind is the same whether others are wanted or not. TRUE: so it was. */
static gboolean
comes_of_other_kind (Fixture *fixture, const char *section)
{
  gint64 person = add_person (fixture, section);

  set_due (fixture, person, BL_TOPIC_SECTION, section, 0);
  g_autoptr (GPtrArray) single = compose (fixture, person, 1, 1 << BL_DRILL_SINGLE);
  g_autofree char *of_single = about (fixture, bl_at (single, 0), FALSE);
  g_assert_true (bl_practice_delete_drill (fixture->practice, ((BlDrillRow *) bl_at (single, 0))->id, NULL));
  g_autoptr (GPtrArray) all = compose (fixture, person, 4, 1 << BL_DRILL_SINGLE | 1 << BL_DRILL_TWO | 1 << BL_DRILL_MISREAD
                                                             | 1 << BL_DRILL_PROVOKED);
  const BlDrillRow *first = bl_at (all, 0);
  g_autofree char *of_all = about (fixture, first, FALSE);

  g_test_message ("%s: %s, %s of kind %s", section, of_single, of_all, bl_drill_kind_name (first->kind));
  if (g_strcmp0 (of_single, section) == 0)
    {
      g_assert_cmpstr (of_all, ==, section);
      g_assert_cmpint (first->kind, ==, BL_DRILL_SINGLE);
      return FALSE;
    }
  return g_strcmp0 (of_all, section) == 0 && first->kind != BL_DRILL_SINGLE;
}

static void
test_due_of_other_kind (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GHashTable) kinds = g_hash_table_new (g_str_hash, g_str_equal);
  guint n = 0;

  for (guint i = 0; i < bl_len (fixture->document->sections); i++)
    {
      const BlSection *section = bl_at (fixture->document->sections, i);
      if (section->kind != NULL && g_hash_table_add (kinds, section->kind))
        n += comes_of_other_kind (fixture, section->kind);
    }
  g_assert_cmpuint (n, >=, 1);
}

/* Ended drills, all right or all wrong, in a kind of section. */
static void
add_past (Fixture *fixture, gint64 person, const char *section, gboolean right, guint n)
{
  BlLibrary *library = bl_practice_get_library (fixture->practice);
  BlPracticeSubject subject = { fixture->board, 0 };
  static const char *const faults[] = { "C1:capacity lost", NULL };
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < n; i++)
    {
      gint64 id = bl_practice_plant (fixture->practice, person, &subject, faults, &error);
      g_assert_no_error (error);
      bl_library_begin_drill (library, id, faults, &error);
      bl_library_end_drill (library, id, NULL, NULL, &error);
      g_autoptr (BlDrillRow) row = bl_library_load_drill (library, id, &error);
      row->section_kind = g_strdup (section);
      row->stage_right = row->component_right = right;
      g_assert_true (bl_library_score_drill (library, row, &error));
    }
  set_due (fixture, person, BL_TOPIC_SECTION, section, 30);
}

static guint
count_of (Fixture *fixture, gint64 person, const char *section, guint n)
{
  g_autoptr (GPtrArray) set = compose (fixture, person, n, 1 << BL_DRILL_SINGLE);
  guint found = 0;

  for (guint i = 0; i < set->len; i++)
    {
      g_autofree char *of = about (fixture, bl_at (set, i), FALSE);
      found += g_strcmp0 (of, section) == 0;
    }
  return found;
}

/* The same seed, and so the same stock: how much oftener the relay comes when it was never found than when it always was. */
static void
test_weak_oftener (Fixture *fixture, gconstpointer data)
{
  gint64 weak = add_person (fixture, "weak"), strong = add_person (fixture, "strong");

  add_past (fixture, weak, "relay", FALSE, 8);
  add_past (fixture, weak, "supply", TRUE, 8);
  add_past (fixture, strong, "relay", TRUE, 8);
  add_past (fixture, strong, "supply", FALSE, 8);
  guint of_weak = count_of (fixture, weak, "relay", 12), of_strong = count_of (fixture, strong, "relay", 12);
  g_test_message ("relay: %u of 12 where it is weak, %u where it is strong", of_weak, of_strong);
  g_assert_cmpuint (of_weak, >, of_strong);
}

/* Given to another person, whatever that one's past is, the set is drill by drill the same. */
static void
test_for_two (Fixture *fixture, gconstpointer data)
{
  gint64 one = add_person (fixture, "ab"), other = add_person (fixture, "cd");
  guint kinds = 1 << BL_DRILL_SINGLE | 1 << BL_DRILL_TWO;
  g_autoptr (GError) error = NULL;

  add_past (fixture, other, "relay", FALSE, 3);
  g_autoptr (GPtrArray) set = compose (fixture, one, 4, kinds);
  for (guint i = set->len; i > 0; i--)
    g_assert_cmpint (bl_practice_give (fixture->practice, ((BlDrillRow *) bl_at (set, i - 1))->id, other, &error), !=, 0);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) given = bl_practice_drills (fixture->practice, other, &error);
  for (guint i = 0; i < set->len; i++)
    {
      const BlDrillRow *mine = bl_at (set, i), *theirs = bl_at (given, i);
      g_assert_cmpuint (mine->seed, ==, theirs->seed);
      g_assert_cmpint (mine->kind, ==, theirs->kind);
      g_assert_true (g_strv_equal ((const char *const *) mine->sections, (const char *const *) theirs->sections));
      g_assert_true (g_strv_equal ((const char *const *) mine->faults, (const char *const *) theirs->faults));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/practice-set/newcomer", Fixture, NULL, set_up, test_newcomer, tear_down);
  g_test_add ("/model/practice-set/due-first", Fixture, NULL, set_up, test_due_first, tear_down);
  g_test_add ("/model/practice-set/due-of-other-kind", Fixture, NULL, set_up, test_due_of_other_kind, tear_down);
  g_test_add ("/model/practice-set/weak-oftener", Fixture, NULL, set_up, test_weak_oftener, tear_down);
  g_test_add ("/model/practice-set/for-two", Fixture, NULL, set_up, test_for_two, tear_down);
  return g_test_run ();
}
