/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who practises is known on this machine only: after somebody has practised in every way, nothing that the shop gives away
 * has the name (bundles of boards, equipments and jobs, the shop's figures, its library itself), nor has what could be
 * given away of the library of practice. Usage: test-practice-private LIBRARY, the demo's */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-drill-run.h"
#include "bl-worked-case.h"

#include "scratch.h"

#include "bl-bundle.h"
#include "bl-delivery.h"
#include "bl-job-bundle.h"
#include "bl-library-equipment.h"
#include "bl-library-states.h"
#include "bl-numbers-words.h"
#include "bl-zip.h"

#include <string.h>

#define NAME "Quillonia"

static const char *demo;

static gboolean
holds (const void *data, gsize length, const char *words)
{
  return memmem (data, length, words, strlen (words)) != NULL;
}

/* Whether these words stand in a file of a zip, or of a zip in it. */
static gboolean
zip_holds (const char *folder, const char *path, const char *words)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) entries = bl_zip_read (path, &bl_zip_limits, &error);
  g_autofree char *inner = g_strconcat (path, ".inner", NULL);
  GHashTableIter iter;
  gpointer name, content;
  gboolean found = FALSE;

  g_assert_no_error (error);
  g_assert_cmpuint (g_hash_table_size (entries), >, 0);
  g_hash_table_iter_init (&iter, entries);
  while (g_hash_table_iter_next (&iter, &name, &content))
    {
      gsize length;
      const char *data = g_bytes_get_data (content, &length);
      found |= holds (name, strlen (name), words) || holds (data, length, words);
      if (length < 4 || memcmp (data, "PK\3\4", 4) != 0)
        continue;
      g_assert_true (g_file_set_contents (inner, data, (gssize) length, NULL));
      found |= zip_holds (folder, inner, words);
    }
  return found;
}

static void
check_boards (BlLibrary *library, const char *folder, guint *n)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) boards = bl_library_boards (library, FALSE, &error);
  g_autofree char *path = scratch_file (folder, "out.benchlore");

  for (guint i = 0; i < boards->len; i++, (*n)++)
    {
      const BlBoardRow *row = bl_at (boards, i);
      g_autoptr (BlBundle) bundle = bl_library_export (library, row->id, &error);
      g_assert_no_error (error);
      g_assert_true (bl_bundle_write (bundle, path, &error));
      g_assert_false (zip_holds (folder, path, NAME));
      g_assert_true (zip_holds (folder, path, row->model)); /* the search finds what is there */
    }
}

static void
check_equipments (BlLibrary *library, const char *folder, guint *n)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) equipments = bl_library_equipments (library, &error);
  g_autofree char *path = scratch_file (folder, "out.benchlore");

  for (guint i = 0; i < equipments->len; i++, (*n)++)
    {
      g_autoptr (BlDelivery) delivery = bl_library_export_equipment (library, ((BlEquipmentRow *) bl_at (equipments, i))->id, &error);
      g_assert_no_error (error);
      g_assert_true (bl_delivery_write (delivery, path, &error));
      g_assert_false (zip_holds (folder, path, NAME));
    }
}

static void
check_jobs (BlLibrary *library, const char *folder, guint *n)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, &error);
  g_autofree gint64 *ids = g_new0 (gint64, jobs->len + 1);
  g_autofree char *path = scratch_file (folder, "out.jobs");

  for (guint i = 0; i < jobs->len; i++)
    ids[i] = ((BlJob *) bl_at (jobs, i))->id;
  g_autoptr (BlJobBundle) bundle = bl_library_export_jobs (library, ids, jobs->len, &error);
  g_assert_no_error (error);
  g_assert_true (bl_job_bundle_write (bundle, path, &error));
  g_assert_false (zip_holds (folder, path, NAME));
  *n += jobs->len;
}

static void
check_numbers (BlLibrary *library)
{
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  g_autoptr (GError) error = NULL;
  g_autofree char *csv = bl_numbers_csv (library, &ask, &error);

  g_assert_no_error (error);
  g_assert_false (holds (csv, strlen (csv), NAME));
}

static gboolean
library_holds (const char *path, const char *words)
{
  static const char *const beside[] = { "", "-wal" };
  gboolean found = FALSE;

  for (guint i = 0; i < G_N_ELEMENTS (beside); i++)
    {
      g_autofree char *name = g_strconcat (path, beside[i], NULL), *content = NULL;
      gsize length = 0;
      found |= g_file_get_contents (name, &content, &length, NULL) && holds (content, length, words);
    }
  return found;
}

/* Questions, a drill to its end, a planted one, a case of a job. */
static void
practise (BlPractice *practice, gint64 board)
{
  static const char *const faults[] = { "K1:contact does not close", NULL };
  g_autoptr (GError) error = NULL;
  BlPracticeSubject subject = { board, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 5 };
  gint64 person = bl_practice_add_person (practice, NAME, &error);

  g_assert_no_error (error);
  g_assert_true (bl_practice_answer (practice, BL_ANSWER_WAY, "uid", "supply", "TP5", TRUE, FALSE, &error));
  gint64 drill = bl_practice_add_drill (practice, person, &subject, &order, &error);
  g_autoptr (BlDrillRun) run = bl_drill_run_new (practice, drill, &error);
  g_assert_no_error (error);
  bl_drill_run_stop (run); /* the score is of no matter here */
  g_assert_true (bl_drill_run_read_cautions (run, &error));
  g_assert_true (bl_drill_run_conclude (run, NULL, "K1", &error));
  bl_drill_run_settle (run);
  g_assert_cmpint (bl_practice_plant (practice, person, &subject, faults, &error), !=, 0);
  g_autoptr (BlWorkedCase) worked = bl_worked_case_next (practice, person, &subject, &order, &error);
  g_assert_no_error (error);
  g_assert_true (bl_worked_case_end (worked, &error));
}

static void
test_given_away (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "shop"), *own = scratch_file (folder, "practice"), *content = NULL;
  gsize length = 0;
  guint n = 0, n_own = 0;

  g_assert_true (g_file_get_contents (demo, &content, &length, NULL));
  g_assert_true (g_file_set_contents (path, content, (gssize) length, NULL));
  BlLibrary *shop = bl_library_open (path, FALSE, &error);
  g_assert_no_error (error);
  BlPractice *practice = bl_practice_new (shop, own, &error);
  g_autoptr (GPtrArray) boards = bl_library_boards (shop, FALSE, &error);
  practise (practice, ((BlBoardRow *) bl_at (boards, 0))->id);
  g_assert_true (library_holds (own, NAME));
  g_assert_false (library_holds (path, NAME));

  check_boards (shop, folder, &n);
  check_equipments (shop, folder, &n);
  check_jobs (shop, folder, &n);
  check_numbers (shop);
  g_assert_cmpuint (n, >, 10);
  check_boards (bl_practice_get_library (practice), folder, &n_own);
  check_jobs (bl_practice_get_library (practice), folder, &n_own);
  check_numbers (bl_practice_get_library (practice));
  g_assert_cmpuint (n_own, >=, 2);
  g_assert_finalize_object (practice);
  bl_library_close (shop);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  demo = argv[1];
  g_assert_nonnull (demo);
  g_test_add_func ("/model/practice-private/given-away", test_given_away);
  return g_test_run ();
}
