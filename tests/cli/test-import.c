/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `import` of the built program, from outside: what is there already is told and never doubled, a merge and a second
 * one beside it, equipments there and back, and a program that is killed in the middle. */
#undef G_DISABLE_ASSERT

#include <glib.h>
#include <glib/gstdio.h>

#include <signal.h>
#include <string.h>
#include <sys/wait.h>

#define BOARD(uid, edition, more)                                                                  \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"" uid "\","                       \
  "  \"board_number\": \"RB-17\", \"edition\": \"" edition "\"," more                              \
  "  \"states\": [{\"id\": \"run\", \"live\": true, \"volts\": 325}],"                             \
  "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\"}], \"ports\": [{\"id\": \"S\"}],"    \
  "  \"stages\": [{\"id\": \"rail5\", \"section\": \"supply\", \"feeds\": {\"from\": [\"port:S\"]}}]," \
  "  \"components\": [{\"id\": \"U2\", \"kind\": \"ic.regulator\", \"stage\": \"rail5\"}],"        \
  "  \"measurements\": [{\"id\": \"M5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail5\"," \
  "                      \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}}] }"
#define ONE "11111111-2222-4333-8444-555555555555"
#define TWO "22222222-2222-4333-8444-555555555555"

enum
{
  PHOTOS = 14,
  PHOTO_BYTES = 1500000
};

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
  g_ptr_array_add (arguments, (gpointer) "--library");
  g_ptr_array_add (arguments, f->library);
  g_ptr_array_add (arguments, NULL);
  g_spawn_sync (NULL, (char **) arguments->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &f->out, &f->err, &status, &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  return WEXITSTATUS (status);
}

static char *
write_file (const Fixture *f, const char *name, const char *text)
{
  char *path = in_folder (f, name);

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  return path;
}

static guint
count (Fixture *f, const char *word)
{
  guint n = 0;

  for (const char *at = f->out; (at = strstr (at, word)) != NULL; at += strlen (word))
    n++;
  return n;
}

static void
assert_boards (Fixture *f, guint n)
{
  g_assert_cmpint (run (f, "boards", NULL), ==, 0);
  g_assert_cmpuint (count (f, "RB-17"), ==, n);
}

static void
test_present (Fixture *f, gconstpointer data)
{
  g_autofree char *first = write_file (f, "first.json", BOARD (ONE, "C", "")),
                  *other = write_file (f, "other.json", BOARD (TWO, "C", "\"notes\": \"theirs\",")), *out = NULL,
                  *bundle = in_folder (f, "out.benchlore");
  gsize length = 0;

  g_assert_cmpint (run (f, "import", first, NULL), ==, 0);
  g_assert_cmpstr (f->out, ==, "board 1 added\n");
  /* The same again, then the same edition under another uid. */
  g_assert_cmpint (run (f, "import", first, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, "already"));
  g_assert_cmpint (run (f, "import", other, NULL), ==, 1);
  g_assert_cmpstr (f->out, ==, "");
  g_assert_nonnull (strstr (f->err, "notes"));
  g_assert_nonnull (strstr (f->err, "theirs"));
  g_assert_nonnull (strstr (f->err, "--merge"));
  assert_boards (f, 1);
  g_assert_cmpint (run (f, "import", other, "--merge", NULL), ==, 0);
  g_assert_cmpstr (f->out, ==, "board 1 merged: 1 of 1 differences taken\n");
  assert_boards (f, 1);
  g_assert_cmpint (run (f, "export", "RB-17", bundle, NULL), ==, 0);
  g_assert_true (g_file_get_contents (bundle, &out, &length, NULL));
  g_assert_cmpint (run (f, "import", other, "--merge", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "already"));
  g_assert_cmpint (run (f, "import", first, "--keep-both", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "edition C-2"));
  assert_boards (f, 2);
}

static void
test_conflict (Fixture *f, gconstpointer data)
{
  g_autofree char *first = write_file (f, "first.json", BOARD (ONE, "C", "\"notes\": \"mine\",")),
                  *other = write_file (f, "other.json", BOARD (ONE, "C", "\"notes\": \"theirs\","));

  g_assert_cmpint (run (f, "import", first, NULL), ==, 0);
  g_assert_cmpint (run (f, "import", other, "--merge", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "0 of 1 "));
  g_assert_cmpint (run (f, "import", first, NULL), ==, 1);
  g_assert_null (strstr (f->err, "differs")); /* mine stayed */
  g_assert_cmpint (run (f, "import", other, "--merge", "--theirs", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "1 of 1 "));
  g_assert_cmpint (run (f, "import", first, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, "differs"));
}

static void
test_usage (Fixture *f, gconstpointer data)
{
  g_autofree char *first = write_file (f, "first.json", BOARD (ONE, "C", ""));

  g_assert_cmpint (run (f, "import", first, "--merge", "--keep-both", NULL), ==, 2);
  g_assert_cmpint (run (f, "import", first, "--theirs", NULL), ==, 2);
  g_assert_false (g_file_test (f->library, G_FILE_TEST_EXISTS));
}

static void
test_equipment (Fixture *f, gconstpointer data)
{
  g_autofree char *near = write_file (f, "near.json", BOARD (ONE, "C", "")),
                  *far = write_file (f, "far.json", BOARD (TWO, "D", "")),
                  *pair = write_file (f, "pair.json",
                                      "{ \"format\": \"benchlore-equipment\", \"version\": 1, \"title\": \"pair\","
                                      "  \"boards\": [{\"role\": \"near\", \"board\": \"near.json\"},"
                                      "               {\"role\": \"far\", \"board\": \"far.json\"}],"
                                      "  \"conductors\": [{\"id\": \"W1\", \"from\": \"near/rail5\", \"to\": \"far/S\"}] }"),
                  *bundle = in_folder (f, "pair.benchlore"), *readings = write_file (f, "r.csv", "measurement,reading\nfar/M5,0\n"),
                  *own = NULL;
  char *first = f->library;

  g_assert_cmpint (run (f, "import", near, NULL), ==, 0);
  g_assert_cmpint (run (f, "import", pair, NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "board 1 is there already"));
  g_assert_nonnull (strstr (f->out, "board 2 added"));
  g_assert_nonnull (strstr (f->out, "equipment:1 added"));
  assert_boards (f, 2);
  g_assert_cmpint (run (f, "equipments", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "near: RB-17/C, far: RB-17/D"));
  g_assert_cmpint (run (f, "export", "pair", bundle, NULL), ==, 0);
  g_assert_cmpint (run (f, "import", bundle, NULL), ==, 1);
  g_assert_nonnull (strstr (f->err, "already"));

  /* The bundle is an input like any other. */
  char *check[] = { (char *) g_getenv ("BENCHLORE_CLI"), (char *) "check-board", bundle, NULL };
  char *diagnose[] = { (char *) g_getenv ("BENCHLORE_CLI"), (char *) "diagnose", (char *) "--board", bundle,
                       (char *) "--readings", readings, (char *) "--json", NULL };
  int status = -1;
  g_assert_true (g_spawn_sync (NULL, check, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL, &status, NULL));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
  g_assert_true (g_spawn_sync (NULL, diagnose, NULL, G_SPAWN_DEFAULT, NULL, NULL, &own, NULL, &status, NULL));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
  g_assert_nonnull (strstr (own, "\"W1\""));

  /* Into another machine's library. */
  f->library = in_folder (f, "second.benchlore-library");
  g_assert_cmpint (run (f, "import", bundle, NULL), ==, 0);
  assert_boards (f, 2);
  g_assert_cmpint (run (f, "equipments", NULL), ==, 0);
  g_assert_nonnull (strstr (f->out, "near: RB-17/C, far: RB-17/D"));
  g_free (f->library);
  f->library = first;
}

/* --- killed --- */

/* A picture with all its parts and nothing to see. */
static void
write_picture (const Fixture *f, guint number)
{
  g_autofree char *name = g_strdup_printf ("p%u.png", number), *path = in_folder (f, name);
  static const guint8 head[] = { 0x89, 'P', 'N', 'G', 13, 10, 26, 10, 0, 0, 0, 13, 'I', 'H', 'D', 'R', 0, 0, 4, 0,
                                 0, 0, 4, 0, 8, 0, 0, 0, 0, 1, 2, 3, 4 },
                      end[] = { 0, 0, 0, 0, 'I', 'E', 'N', 'D', 0xae, 0x42, 0x60, 0x82 };
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  g_autofree guint8 *data = g_malloc (PHOTO_BYTES + 12);
  g_autoptr (GRand) rand = g_rand_new_with_seed (number);

  for (guint i = 0; i + 4 <= PHOTO_BYTES + 12; i += 4)
    *(guint32 *) (gpointer) (data + i) = g_rand_int (rand);
  for (guint i = 0; i < 4; i++)
    data[i] = (guint8) (PHOTO_BYTES >> (24 - 8 * i));
  memcpy (data + 4, "IDAT", 4);
  g_byte_array_append (bytes, head, sizeof head);
  g_byte_array_append (bytes, data, PHOTO_BYTES + 12);
  g_byte_array_append (bytes, end, sizeof end);
  g_assert_true (g_file_set_contents (path, (const char *) bytes->data, (gssize) bytes->len, NULL));
}

static char *
write_big_board (const Fixture *f)
{
  g_autoptr (GString) photos = g_string_new ("\"photos\": [");
  g_autofree char *text = NULL;
  g_auto (GStrv) parts = g_strsplit (BOARD (TWO, "D", "@"), "@", 2);

  for (guint i = 0; i < PHOTOS; i++)
    {
      g_string_append_printf (photos, "%s{\"id\": \"p%u\", \"side\": \"front\", \"file\": \"p%u.png\"}", i > 0 ? "," : "", i, i);
      write_picture (f, i);
    }
  g_string_append (photos, "],");
  text = g_strconcat (parts[0], photos->str, parts[1], NULL);
  return write_file (f, "big.json", text);
}

/* Starts an import and kills it after a while. TRUE when it was still running then. */
static gboolean
import_and_kill (Fixture *f, const char *file, gulong after)
{
  char *arguments[] = { (char *) g_getenv ("BENCHLORE_CLI"), (char *) "import", (char *) file, (char *) "--library",
                        f->library, NULL };
  GPid pid = 0;
  int status = 0;

  g_assert_true (g_spawn_async (NULL, arguments, NULL,
                                G_SPAWN_DO_NOT_REAP_CHILD | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL,
                                NULL, &pid, NULL));
  g_usleep (after);
  kill (pid, SIGKILL);
  g_assert_cmpint (waitpid (pid, &status, 0), ==, pid);
  return WIFSIGNALED (status);
}

/* Either nothing of it is there, or all of it. */
static gboolean
check_whole_or_not (Fixture *f)
{
  g_autofree char *bundle = in_folder (f, "out.benchlore");
  GStatBuf info;

  g_assert_cmpint (run (f, "boards", NULL), ==, 0);
  g_assert_cmpuint (count (f, "RB-17  C"), ==, 1); /* what was there before */
  if (count (f, TWO) == 0)
    return FALSE;
  g_assert_cmpint (run (f, "export", TWO, bundle, NULL), ==, 0);
  g_assert_cmpint (g_stat (bundle, &info), ==, 0);
  g_assert_cmpint (info.st_size, >, (goffset) PHOTOS * PHOTO_BYTES);
  return TRUE;
}

static void
test_killed (Fixture *f, gconstpointer data)
{
  g_autofree char *first = write_file (f, "first.json", BOARD (ONE, "C", "")), *big = write_big_board (f), *kept = NULL;
  gsize length = 0;
  guint killed = 0, whole = 0;
  gint64 before, took;

  g_assert_cmpint (run (f, "import", first, NULL), ==, 0);
  g_assert_true (g_file_get_contents (f->library, &kept, &length, NULL));
  before = g_get_monotonic_time ();
  g_assert_cmpint (run (f, "import", big, NULL), ==, 0);
  took = g_get_monotonic_time () - before;
  g_assert_true (check_whole_or_not (f));
  for (guint i = 1; i <= 7; i++)
    {
      g_autofree char *log = g_strconcat (f->library, "-wal", NULL), *shared = g_strconcat (f->library, "-shm", NULL);
      g_unlink (log);
      g_unlink (shared);
      g_assert_true (g_file_set_contents (f->library, kept, (gssize) length, NULL));
      gint64 after = took * i / 8;
      if (import_and_kill (f, big, (gulong) after))
        killed++;
      else
        took = after; /* the first one was slow, as anything is for the first time */
      whole += check_whole_or_not (f);
    }
  g_test_message ("%u of 7 killed in %" G_GINT64_FORMAT " ms, %u imported", killed, took / 1000, whole);
  g_assert_cmpuint (killed, >=, 3); /* else nothing was tested */
  g_assert_cmpuint (whole, <, 7);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/cli/import/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("present", test_present);
  ADD ("conflict", test_conflict);
  ADD ("usage", test_usage);
  ADD ("equipment", test_equipment);
  ADD ("killed", test_killed);
  return g_test_run ();
}
