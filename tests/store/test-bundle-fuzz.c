/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bundles that somebody damaged, by chance or on purpose: each is taken whole or refused with a reason, and
 * a refusal leaves the library as it was. */
#include "config.h"

#include "bl-bundle.h"
#include "bl-document.h"
#include "bl-zip.h"
#include "pictures.h"
#include "sample.h"
#include "scratch.h"

#include <string.h>

#define MUTANTS 1500


/* What a document may be cut up with. */
static const char *const pieces[] = { "{",        "}",
                                      "[",        "]",
                                      "\"",       ",",
                                      ":",        "null",
                                      "true",     "1e999",
                                      "-1e308",   "NaN",
                                      "\\u0000",  "\\ud800",
                                      "\xff\xfe", "[[[[[",
                                      "\"id\"",   "\"../../x\"",
                                      "0x10",     "9999999999999999999999",
                                      "\"\"",     "\"photos/../../etc\"",
                                      "-0",       "1e-320" };

static GString *
mutate (const char *text, gsize length, GRand *rand)
{
  GString *out = g_string_new_len (text, (gssize) length);
  int edits = g_rand_int_range (rand, 1, 6);

  for (int i = 0; i < edits && out->len > 1; i++)
    {
      gsize at = (gsize) g_rand_int_range (rand, 0, (int) out->len), span = (gsize) g_rand_int_range (rand, 1, 40);

      span = MIN (out->len - at, span);
      switch (g_rand_int_range (rand, 0, 5))
        {
        case 0: /* another byte */
          out->str[at] = (char) g_rand_int_range (rand, 0, 256);
          break;
        case 1: /* a part lost */
          g_string_erase (out, (gssize) at, (gssize) span);
          break;
        case 2: /* a part twice */
          {
            g_autofree char *part = g_strndup (out->str + at, span);
            g_string_insert (out, g_rand_int_range (rand, 0, (int) out->len), part);
            break;
          }
        case 3: /* cut off */
          if (g_rand_int_range (rand, 0, 8) == 0)
            g_string_truncate (out, at);
          break;
        default:
          g_string_insert (out, (gssize) at, pieces[g_rand_int_range (rand, 0, G_N_ELEMENTS (pieces))]);
        }
    }
  return out;
}

/* A value of the document replaced by another piece of it, so that it stays JSON and gets far. */
static GString *
exchange_values (const char *text, GRand *rand)
{
  g_auto (GStrv) tokens = g_regex_split_simple ("(\"[^\"]*\"|[-0-9.]+|true|false)", text, 0, 0);
  guint n = g_strv_length (tokens), first = 0, second = 0;
  GString *out = g_string_new (NULL);

  for (guint tries = 0; tries < 50 && (first | 1) != first; tries++)
    first = (guint) g_rand_int_range (rand, 0, (int) n);
  for (guint tries = 0; tries < 50 && (second | 1) != second; tries++)
    second = (guint) g_rand_int_range (rand, 0, (int) n);
  for (guint i = 0; i < n; i++)
    g_string_append (out, i == first ? tokens[second] : tokens[i]);
  return out;
}

static void
write_bundle (const char *path, const char *document, gsize length, const char *name, const char *photo,
              gsize photo_length)
{
  const char *const names[] = { "board.json", name, "photos/Rückseite.png", NULL };
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GError) error = NULL;

  g_hash_table_insert (entries, (gpointer) names[0], g_bytes_new (document, length));
  g_hash_table_insert (entries, (gpointer) names[1], g_bytes_new (photo, photo_length));
  g_hash_table_insert (entries, (gpointer) names[2], g_bytes_new (picture_png, sizeof picture_png));
  bl_zip_write (path, names, entries, &error);
  g_assert_no_error (error);
}

static void
write_mutant (const char *path, guint number, GRand *rand)
{
  g_autoptr (GString) document = g_string_new (SAMPLE_DOCUMENT), photo = g_string_new_len ((const char *) picture_jpg, sizeof picture_jpg),
                      whole = NULL;
  g_autofree char *data = NULL;
  gsize length;

  if (number % 4 == 1)
    {
      g_string_free (g_steal_pointer (&document), TRUE);
      document = mutate (SAMPLE_DOCUMENT, strlen (SAMPLE_DOCUMENT), rand);
    }
  else if (number % 4 == 2)
    {
      g_string_free (g_steal_pointer (&document), TRUE);
      document = exchange_values (SAMPLE_DOCUMENT, rand);
    }
  else if (number % 4 == 3)
    {
      g_string_free (g_steal_pointer (&photo), TRUE);
      photo = mutate ((const char *) picture_jpg, sizeof picture_jpg, rand);
    }
  write_bundle (path, document->str, document->len, "photos/front.jpg", photo->str, photo->len);
  if (number % 4 != 0)
    return;
  g_assert_true (g_file_get_contents (path, &data, &length, NULL));
  whole = mutate (data, length, rand);
  g_assert_true (g_file_set_contents (path, whole->str, (gssize) whole->len, NULL));
}

/* Everything the library says of its boards. */
static char *
state_of (BlLibrary *library)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, NULL);
  GString *text = g_string_new (NULL);

  g_assert_nonnull (rows);
  for (guint i = 0; i < rows->len; i++)
    {
      const BlBoardRow *row = g_ptr_array_index (rows, i);
      g_autoptr (BlBoard) board = bl_library_load_board (library, row->id, NULL);
      g_autoptr (GBytes) photo = bl_library_get_board_photo (library, row->id, "front", NULL, NULL);
      g_autofree char *document = NULL;
      g_assert_nonnull (board);
      document = bl_document_write (board);
      g_string_append_printf (text, "%" G_GINT64_FORMAT " %s %" G_GSIZE_FORMAT "\n", row->id, document,
                              photo != NULL ? g_bytes_get_size (photo) : 0);
    }
  return g_string_free (text, FALSE);
}

/* A library with one board that none of the bundles is. */
static BlLibrary *
library_with_board (const char *path)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (path, TRUE, &error);
  g_autoptr (BlBoard) board = sample_board ();

  g_assert_no_error (error);
  g_free (board->uid);
  board->uid = g_strdup ("22222222-2222-4333-8444-555555555555");
  g_assert_cmpint (bl_library_add_board (library, board, FALSE, &error), >, 0);
  g_assert_no_error (error);
  return library;
}

static void
test_mutants (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "mutant.benchlore"), *file = scratch_file (folder, "lib.sqlite");
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  BlLibrary *library = library_with_board (file);
  g_autofree char *before = state_of (library);
  guint taken = 0, unread = 0, refused = 0;

  for (guint i = 0; i < MUTANTS; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
      g_autofree char *after = NULL;
      write_mutant (path, i, rand);
      g_autoptr (BlBundle) bundle = bl_bundle_read (path, problems, &error);
      gint64 id = bundle != NULL ? bl_library_import (library, bundle, &error) : 0;
      g_assert_true ((id > 0) == (error == NULL));
      g_assert_true (error == NULL || error->message[0] != '\0');
      if (id > 0)
        g_assert_true (bl_library_delete_board (library, id, &error));
      taken += id > 0;
      unread += bundle == NULL;
      refused += bundle != NULL && id == 0;
      after = state_of (library);
      g_assert_cmpstr (after, ==, before);
    }
  g_test_message ("%u bundles: %u taken, %u not readable, %u not importable", MUTANTS, taken, unread, refused);
  g_assert_cmpuint (taken, >, MUTANTS / 20); /* else the mutants say nothing about what is imported */
  g_assert_cmpuint (unread + refused, >, MUTANTS / 4);
  bl_library_close (library);
  /* what is on disk is what was said */
  library = bl_library_open (file, FALSE, NULL);
  g_autofree char *again = state_of (library);
  g_assert_cmpstr (again, ==, before);
  bl_library_close (library);
  scratch_free (folder);
}

/* Brackets nested deeper than any document: refused, and no stack runs over. */
static void
test_deep (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "deep.benchlore");
  static const char *const openings[] = { "[", "{\"a\":", "{\"notes\":[", "[[{\"id\":" };

  for (guint i = 0; i < G_N_ELEMENTS (openings); i++)
    {
      g_autoptr (GString) text = g_string_new ("{\"format\": \"benchlore-board\", \"version\": 1, \"states\": ");
      g_autoptr (GError) error = NULL;
      for (guint depth = 0; depth < 200000; depth++)
        g_string_append (text, openings[i]);
      write_bundle (path, text->str, text->len, "photos/front.jpg", (const char *) picture_jpg,
                    sizeof picture_jpg);
      g_autoptr (BlBundle) bundle = bl_bundle_read (path, NULL, &error);
      g_assert_null (bundle);
      g_assert_nonnull (error);
    }
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/bundle-fuzz/mutants", test_mutants);
  g_test_add_func ("/store/bundle-fuzz/deep", test_deep);
  return g_test_run ();
}
