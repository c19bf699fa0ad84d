/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The next edition: its mark, what is carried and what is not, and what is to be looked at. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-next-edition.h"

#include "bl-board-difference.h"
#include "bl-library-known-good.h"
#include "sample.h"

/* How makers count editions: common practice, no source. */
static void
test_marks (void)
{
  static const struct
  {
    const char *mark, *next;
  } marks[] = {
    { "C", "D" },   { "c", "d" },     { "2", "3" },       { "9", "10" },   { "C1", "C2" },      { "01", "02" },
    { "1.9", "1.10" }, { "Z", "AA" }, { "AZ", "BA" },     { "zz", "aaa" }, { "rev. B", "rev. C" }, { "2b", "2c" },
    { "", "2" },    { NULL, "2" },    { "first", "first 2" }, { "V-", "V- 2" },
  };
  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    {
      g_autofree char *next = bl_next_mark (marks[i].mark);
      g_assert_cmpstr (next, ==, marks[i].next);
    }
}

static gint64
add_sample (BlLibrary *library)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (GError) error = NULL;
  BlIndication *shown = bl_indication_new (), *all = bl_indication_new ();
  shown->symptom = g_strdup ("E1");
  shown->edition = g_strdup ("C");
  all->symptom = g_strdup ("E1");
  all->edition = g_strdup ("A to C");
  bl_append (&board->indications, shown, (GDestroyNotify) bl_indication_free);
  bl_append (&board->indications, all, (GDestroyNotify) bl_indication_free);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static void
test_make (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  gint64 from = add_sample (library);
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);
  g_assert_true (bl_library_put_board_photo (library, from, "front", "image/png", image, NULL, &error));
  g_autoptr (BlJob) job = bl_job_new ();
  job->board = from;
  gint64 job_id = bl_library_add_job (library, job, &error);
  g_assert_true (bl_library_mark_known_good (library, job_id, BL_KNOWN_GOOD_YES, &error));

  g_autofree char *mark = bl_next_edition_propose (library, from, &error);
  g_assert_cmpstr (mark, ==, "D");
  gint64 to = bl_next_edition_make (library, from, " D ", &error);
  g_assert_no_error (error);

  /* All of the document but uid and mark. */
  g_autoptr (BlBoard) old = bl_library_load_board (library, from, NULL), new = bl_library_load_board (library, to, NULL);
  g_assert_cmpstr (new->uid, !=, old->uid);
  g_autoptr (GPtrArray) differences = bl_board_differences (old, new);
  g_assert_cmpuint (bl_differences_count (differences, BL_N_DIFFERENCES, ""), ==, 1);
  g_assert_cmpstr (new->edition, ==, "D");
  g_assert_cmpuint (differences->len, ==, 2); /* the mark, and the indication that is of D now instead of C */
  g_assert_cmpstr (((BlIndication *) bl_at (new->indications, 0))->edition, ==, "D");
  g_assert_cmpstr (((BlIndication *) bl_at (new->indications, 1))->edition, ==, "A to C");
  g_autoptr (GBytes) carried = bl_library_get_board_photo (library, to, "front", NULL, &error);
  g_assert_true (g_bytes_equal (carried, image));

  /* Nothing of the shop's: jobs and known-good boards stay with the old one. */
  g_autoptr (GHashTable) good = bl_library_known_good_counts (library, NULL);
  g_assert_true (g_hash_table_contains (good, &from));
  g_assert_false (g_hash_table_contains (good, &to));
  g_autoptr (BlJob) same = bl_library_load_job (library, job_id, NULL);
  g_assert_cmpint (same->board, ==, from);
  g_autoptr (BlOrigin) origin = bl_library_get_origin (library, to, NULL);
  g_assert_cmpint (origin->board, ==, from);

  /* The mark is taken now, by the copy and by the old one. */
  g_autofree char *next = bl_next_edition_propose (library, from, &error);
  g_assert_cmpstr (next, ==, "E");
  g_assert_cmpint (bl_next_edition_make (library, from, "d", &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_cmpint (bl_next_edition_make (library, to, "C", &error), ==, 0);
  g_clear_error (&error);
  g_assert_cmpint (bl_next_edition_make (library, to, "  ", &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

static void
test_parts (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  gint64 id = add_sample (library);
  g_autoptr (BlBoard) board = bl_library_load_board (library, id, NULL);
  g_assert_true (bl_library_set_looked_at (library, id, "components/U2", TRUE, &error));
  g_autoptr (GHashTable) seen = bl_library_looked_at (library, id, &error);
  g_autoptr (GPtrArray) parts = bl_next_edition_parts (board, seen);
  /* Two photos, one component, one point, two lamp patterns. */
  g_assert_cmpuint (parts->len, ==, 6);
  const BlLookAt *part = bl_at (parts, 2), *point = bl_at (parts, 3);
  g_assert_cmpstr (part->id, ==, "U2");
  g_assert_true (part->looked_at);
  g_assert_nonnull (g_strrstr (part->words, "7805"));
  g_assert_false (point->looked_at);
  g_assert_cmpfloat (point->y, ==, 2);
  g_assert_cmpstr (point->photo, ==, "front");
  /* Called as a comparison calls them, so that a pattern that differs already is found there. */
  g_assert_cmpstr (((BlLookAt *) bl_at (parts, 4))->part, ==, "indications/E1");
  g_assert_cmpstr (((BlLookAt *) bl_at (parts, 5))->part, ==, "indications/E1 (2)");
  g_autoptr (BlBoard) without = bl_board_copy (board);
  g_ptr_array_set_size (without->indications, 0);
  g_autoptr (GPtrArray) found = bl_board_differences (board, without);
  g_assert_cmpuint (found->len, ==, 2);
  g_assert_cmpstr (((BlDifference *) bl_at (found, 0))->id, ==, "E1");
  g_assert_cmpstr (((BlDifference *) bl_at (found, 1))->id, ==, "E1 (2)");
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/next-edition/marks", test_marks);
  g_test_add_func ("/model/next-edition/make", test_make);
  g_test_add_func ("/model/next-edition/parts", test_parts);
  return g_test_run ();
}
