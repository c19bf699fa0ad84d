/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `import`, `export`, `boards`, `jobs` and `report` of the built program, from outside: what they
 * leave on the disk, and that wrong input leaves nothing. */
#undef G_DISABLE_ASSERT

#include <glib.h>
#include <glib/gstdio.h>

#include <string.h>
#include <sys/wait.h>

#define DOCUMENT                                                                                   \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"uid\": "                                   \
  "\"11111111-2222-4333-8444-555555555555\","                                                      \
  "  \"maker\": \"Hollin\", \"board_number\": \"RB-17\", \"edition\": \"C\","                      \
  "  \"states\": [{\"id\": \"run\", \"live\": true, \"volts\": 325}],"                             \
  "  \"stages\": [{\"id\": \"rail5\", \"section\": \"supply\"}],"                                  \
  "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\"}],"                                  \
  "  \"measurements\": [{\"id\": \"M5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": "  \
  "\"rail5\","                                                                                     \
  "                      \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}}] }"

typedef struct
{
  char *folder, *library, *out, *err;
} Fixture;

static char *
in_folder (const Fixture *f, const char *name)
{
  return g_build_filename (f->folder, name, NULL);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->folder = g_dir_make_tmp ("benchlore-test-XXXXXX", NULL);
  f->library = in_folder (f, "shop.benchlore-library");
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (f->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = in_folder (f, name);
      g_unlink (path);
    }
  g_rmdir (f->folder);
  g_free (f->folder);
  g_free (f->library);
  g_free (f->out);
  g_free (f->err);
}

/* Runs the program with the arguments up to NULL; returns its exit status. */
static int
run (Fixture *f, ...)
{
  g_autoptr (GPtrArray) arguments = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  const char *argument;
  int status = -1;
  va_list list;

  g_clear_pointer (&f->out, g_free);
  g_clear_pointer (&f->err, g_free);
  g_ptr_array_add (arguments, (gpointer) g_getenv ("BENCHLORE_CLI"));
  va_start (list, f);
  while ((argument = va_arg (list, const char *)) != NULL)
    g_ptr_array_add (arguments, (gpointer) argument);
  va_end (list);
  g_ptr_array_add (arguments, NULL);
  g_spawn_sync (NULL, (char **) arguments->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &f->out,
                &f->err, &status, &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  return WEXITSTATUS (status);
}

static char *
write_document (const Fixture *f, const char *text)
{
  char *path = in_folder (f, "board.json");

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  return path;
}

static void
test_round_trip (Fixture *f, gconstpointer data)
{
  g_autofree char *document = write_document (f, DOCUMENT),
                  *bundle = in_folder (f, "out.benchlore");
  g_autofree char *second = in_folder (f, "second.benchlore-library"),
                  *again = in_folder (f, "again.benchlore");
  g_autofree char *one = NULL, *two = NULL;
  gsize length_one = 0, length_two = 0;

  g_assert_cmpint (run (f, "import", document, "--library", f->library, NULL), ==, 0);
  g_assert_cmpint (run (f, "boards", "--library", f->library, NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "RB-17"));
  g_assert_nonnull (strstr (f->out, "Hollin"));
  g_assert_cmpint (run (f, "export", "RB-17", bundle, "--library", f->library, NULL), ==, 0);
  g_assert_cmpint (run (f, "import", bundle, "--library", second, NULL), ==, 0);
  g_assert_cmpint (
      run (f, "export", "11111111-2222-4333-8444-555555555555", again, "--library", second, NULL),
      ==, 0);
  g_assert_true (g_file_get_contents (bundle, &one, &length_one, NULL));
  g_assert_true (g_file_get_contents (again, &two, &length_two, NULL));
  g_assert_cmpmem (one, length_one, two, length_two);
  g_assert_cmpint (run (f, "check-board", bundle, NULL), ==, 0);
  g_assert_cmpint (run (f, "jobs", "--library", f->library, NULL), ==, 0);
}

static void
assert_one_board (Fixture *f)
{
  const char *first;

  g_assert_cmpint (run (f, "boards", "--library", f->library, NULL), ==, 0);
  first = strstr (f->out, "RB-17");
  g_assert_nonnull (first);
  g_assert_null (strstr (first + 1, "RB-17"));
}

static void
test_wrong_input (Fixture *f, gconstpointer data)
{
  g_autofree char *document =
      write_document (f, "{\"format\": \"benchlore-board\", \"version\": 1, \"stages\": [{}]}");
  g_autofree char *bundle = in_folder (f, "out.benchlore"), *good = NULL;

  g_assert_cmpint (run (f, "import", document, "--library", f->library, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, document));
  g_assert_nonnull (strstr (f->err, "stages[0]"));
  g_assert_cmpstr (f->out, ==, "");
  g_assert_false (g_file_test (f->library, G_FILE_TEST_EXISTS));
  g_assert_cmpint (run (f, "import", "/nonexistent/board.json", "--library", f->library, NULL), ==,
                   1);
  g_assert_cmpint (run (f, "boards", "--library", f->library, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, f->library));
  g_assert_false (g_file_test (f->library, G_FILE_TEST_EXISTS));

  good = write_document (f, DOCUMENT);
  g_assert_cmpint (run (f, "import", good, "--library", f->library, NULL), ==, 0);
  g_assert_cmpint (run (f, "import", good, "--library", f->library, NULL), ==,
                   1); /* it is there already */
  assert_one_board (f);
  g_assert_cmpint (run (f, "export", "nothing", bundle, "--library", f->library, NULL), ==, 1);
  g_assert_false (g_file_test (bundle, G_FILE_TEST_EXISTS));
  g_assert_cmpint (run (f, "report", "1", bundle, "--library", f->library, NULL), ==, 1);
  /* no photo of it is there */
  g_assert_cmpint (run (f, "point-sheet", "RB-17", bundle, "--library", f->library, NULL), ==, 1);
  g_assert_false (g_file_test (bundle, G_FILE_TEST_EXISTS));
}

static void
test_usage (Fixture *f, gconstpointer data)
{
  g_assert_cmpint (run (f, "import", "--library", f->library, NULL), ==, 2);
  g_assert_cmpint (run (f, "export", "1", "--library", f->library, NULL), ==, 2);
  g_assert_cmpint (run (f, "boards", "more", "--library", f->library, NULL), ==, 2);
  g_assert_cmpint (run (f, "report", "1", "x.pdf", "--for", "nobody", "--library", f->library, NULL), ==, 2);
  g_assert_cmpint (run (f, "report", "1", "x.pdf", "--paper", "a3", "--library", f->library, NULL), ==, 2);
  g_assert_cmpint (run (f, "jobs", "--unknown", NULL), ==, 2);
  g_assert_false (g_file_test (f->library, G_FILE_TEST_EXISTS));
}

/* The sheet of field checks: of a document, of an equipment in the library, on either paper; nothing of a board. */
static void
test_field_sheet (Fixture *f, gconstpointer data)
{
  g_autofree char *pair = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "pair.json", NULL);
  g_autofree char *sheet = in_folder (f, "sheet.pdf"), *other = in_folder (f, "other.pdf"),
                  *board = write_document (f, DOCUMENT), *pdf = NULL;

  g_assert_cmpint (run (f, "field-sheet", pair, sheet, NULL), ==, 0);
  g_assert_true (g_file_get_contents (sheet, &pdf, NULL, NULL));
  g_assert_true (g_str_has_prefix (pdf, "%PDF-"));
  g_assert_cmpint (run (f, "import", pair, "--library", f->library, NULL), ==, 0);
  g_assert_cmpint (run (f, "field-sheet", "equipment:1", other, "--letter", "--library", f->library, NULL), ==, 0);
  g_assert_true (g_file_test (other, G_FILE_TEST_EXISTS));
  g_unlink (sheet);
  g_assert_cmpint (run (f, "field-sheet", board, sheet, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, "board"));
  g_assert_cmpint (run (f, "field-sheet", "equipment:7", sheet, "--library", f->library, NULL), ==, 1);
  g_assert_cmpint (run (f, "field-sheet", "412", sheet, "--library", f->library, NULL), ==, 1);
  g_assert_cmpint (run (f, "field-sheet", pair, NULL), ==, 2);
  g_assert_false (g_file_test (sheet, G_FILE_TEST_EXISTS));
}

/* A library that is another program's file is left alone. */
static void
test_foreign (Fixture *f, gconstpointer data)
{
  g_autofree char *document = write_document (f, DOCUMENT), *kept = NULL;

  g_assert_true (g_file_set_contents (f->library, "Dear customer,", -1, NULL));
  g_assert_cmpint (run (f, "import", document, "--library", f->library, NULL), ==, 1);
  g_assert_true (g_file_get_contents (f->library, &kept, NULL, NULL));
  g_assert_cmpstr (kept, ==, "Dear customer,");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/cli/library/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("round-trip", test_round_trip);
  ADD ("wrong-input", test_wrong_input);
  ADD ("usage", test_usage);
  ADD ("field-sheet", test_field_sheet);
  ADD ("foreign", test_foreign);
  return g_test_run ();
}
