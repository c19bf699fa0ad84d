/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bundles that somebody made to hurt: real files of each kind, read and imported the way the program does it. Each
 * is refused for its own reason, and the library is as it was. What libarchive itself would never write is put
 * together byte by byte (field layout after PKWARE's APPNOTE 6.3, 4.3.7 and 4.3.12, from memory). */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-delivery.h"
#include "bl-document.h"
#include "bl-zip.h"

#include "pictures.h"
#include "sample.h"
#include "scratch.h"

#define EQUIPMENT_START "{\"format\": \"benchlore-equipment\", \"version\": 1, \"boards\": ["

typedef struct
{
  char *folder, *path, *file;
  BlLibrary *library;
  char *before;
} Fixture;

/* Everything the library says. */
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
      g_autofree char *document = bl_document_write (board);
      g_string_append_printf (text, "%" G_GINT64_FORMAT " %s\n", row->id, document);
    }
  return g_string_free (text, FALSE);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();

  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "hostile.benchlore");
  f->file = scratch_file (f->folder, "lib.sqlite");
  f->library = bl_library_open (f->file, TRUE, &error);
  g_assert_no_error (error);
  g_free (board->uid);
  board->uid = g_strdup ("22222222-2222-4333-8444-555555555555");
  g_assert_cmpint (bl_library_add_board (f->library, board, FALSE, &error), >, 0);
  f->before = state_of (f->library);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_autofree char *after = state_of (f->library);

  g_assert_cmpstr (after, ==, f->before);
  bl_library_close (f->library);
  g_free (f->before);
  g_free (f->path);
  g_free (f->file);
  scratch_free (f->folder);
}

/* Reads path and imports what was read; it must be refused with a message that names the file and has word. */
static void
refused (Fixture *f, const char *path, const char *word)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDelivery) delivery = bl_delivery_read (path, NULL, &error);
  g_autoptr (GError) look_error = NULL;
  g_autoptr (BlBoard) look = bl_board_load_file (path, NULL, &look_error);
  g_autofree char *after = NULL;

  if (delivery != NULL)
    for (guint i = 0; i < delivery->boards->len; i++)
      bl_library_import (f->library, g_ptr_array_index (delivery->boards, i), &error);
  g_assert_null (delivery);
  g_assert_null (look);
  g_assert_nonnull (error);
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, path));
  if (strstr (error->message, word) == NULL)
    g_error ("expected “%s” in: %s", word, error->message);
  g_assert_true (g_utf8_validate (error->message, -1, NULL));
  after = state_of (f->library);
  g_assert_cmpstr (after, ==, f->before);
}

/* A zip of pairs name, bytes (transfer full); ends with NULL. */
static void
make_zip (const char *path, ...)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  const char *name;
  va_list arguments;

  va_start (arguments, path);
  while ((name = va_arg (arguments, const char *)) != NULL)
    {
      g_ptr_array_add (names, (gpointer) name);
      g_hash_table_insert (entries, (gpointer) name, va_arg (arguments, GBytes *));
    }
  va_end (arguments);
  g_ptr_array_add (names, NULL);
  g_assert_true (bl_zip_write (path, (const char *const *) names->pdata, entries, NULL));
}

static GBytes *
text (const char *words)
{
  return picture_or_text (words);
}

static void
test_bombs (Fixture *f, gconstpointer data)
{
  gsize size = 120 << 20;
  char *spaces = g_malloc (size), *zeros = g_malloc0 (size);

  /* A document of nothing but blanks, and a picture of zeros. */
  memset (spaces, ' ', size);
  make_zip (f->path, "board.json", g_bytes_new_take (spaces, size), NULL);
  refused (f, f->path, "far more");
  make_zip (f->path, "board.json", text (SAMPLE_DOCUMENT), "photos/a.json", g_bytes_new_take (zeros, size), NULL);
  refused (f, f->path, "far more");
}

/* Stays below what a zip may unpack to, but is no document that anybody writes: a parser needs a hundred
 * times the memory. */
static void
test_large_document (Fixture *f, gconstpointer data)
{
  g_autoptr (GString) document = g_string_new ("{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{}");
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);
  g_autofree char *bare = scratch_file (f->folder, "large.json");

  while (document->len < (9 << 20))
    g_string_append_printf (document, ",{\"id\": \"%08x\"}", g_rand_int (rand));
  g_string_append (document, "]}");
  make_zip (f->path, "board.json", g_bytes_new (document->str, document->len), NULL);
  refused (f, f->path, "too large");
  g_assert_true (g_file_set_contents (bare, document->str, -1, NULL));
  refused (f, bare, "too large");
}

static void
test_pictures (Fixture *f, gconstpointer data)
{
  static const char *const programs[] = { "MZ this is a program", "\x7f" "ELF", "<svg/>", "GIF89a", "" };
  guint8 giant[sizeof picture_png];

  memcpy (giant, picture_png, sizeof giant);
  memcpy (giant + 16, "\0\0\xea\x60\0\0\xea\x60", 8);
  make_zip (f->path, "board.json", text (SAMPLE_DOCUMENT), "photos/front.jpg", g_bytes_new (giant, sizeof giant), NULL);
  refused (f, f->path, "too large: 60000 × 60000");
  for (gsize cut = 20; cut < sizeof picture_jpg; cut += 20)
    {
      make_zip (f->path, "board.json", text (SAMPLE_DOCUMENT), "photos/front.jpg", g_bytes_new (picture_jpg, cut), NULL);
      refused (f, f->path, "breaks off");
    }
  for (guint i = 0; i < G_N_ELEMENTS (programs); i++)
    {
      make_zip (f->path, "board.json", text (SAMPLE_DOCUMENT), "photos/front.jpg", text (programs[i]), NULL);
      refused (f, f->path, "no picture");
      /* Also where no document names it. */
      make_zip (f->path, "board.json", text (SAMPLE_DOCUMENT), "photos/other.jpg", text (programs[i]), NULL);
      refused (f, f->path, "no picture");
    }
}

static void
test_json (Fixture *f, gconstpointer data)
{
  static const char *const broken[] = {
    "", "{", "[]", "null", "{\"format\": \"benchlore-board\"}", "{\"format\": 1, \"version\": 1}",
    "{\"format\": \"benchlore-board\", \"version\": 2}",
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"\xe4\"}",              /* ISO 8859-1 */
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"\xc0\xaf\"}",          /* overlong */
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"\xed\xa0\x80\"}",      /* half a pair */
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"\\ud800\"}",
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"a\\u0000b\"}",
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"a\nb\"}",
    "{\"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"a\", \"maker\": \"b\"}",
    "{\"format\": \"benchlore-board\", \"version\": 1, \"unheard\": 1}",
  };
  static const char *const openings[] = { "[", "{\"a\":", "[[{\"id\":" };
  g_autofree char *wide = NULL;
  gsize length = 0;

  for (guint i = 0; i < G_N_ELEMENTS (broken); i++)
    {
      make_zip (f->path, "board.json", text (broken[i]), NULL);
      refused (f, f->path, "");
    }
  wide = g_convert (SAMPLE_DOCUMENT, -1, "UTF-16", "UTF-8", NULL, &length, NULL);
  make_zip (f->path, "board.json", g_bytes_new (wide, length), NULL);
  refused (f, f->path, "");
  for (guint i = 0; i < G_N_ELEMENTS (openings); i++)
    {
      g_autoptr (GString) deep = g_string_new ("{\"format\": \"benchlore-board\", \"version\": 1, \"states\": ");
      for (guint depth = 0; depth < 300000; depth++)
        g_string_append (deep, openings[i]);
      make_zip (f->path, "board.json", g_bytes_new (deep->str, deep->len), NULL);
      refused (f, f->path, "");
    }
}

/* --- zips put together by hand --- */

static guint32
crc32_of (const guint8 *data, gsize length)
{
  guint32 crc = 0xffffffff;

  for (gsize i = 0; i < length; i++)
    {
      crc ^= data[i];
      for (int bit = 0; bit < 8; bit++)
        crc = crc >> 1 ^ (crc & 1 ? 0xedb88320 : 0);
    }
  return ~crc;
}

static void
put (GByteArray *out, guint32 value, guint bytes)
{
  for (guint i = 0; i < bytes; i++)
    {
      guint8 byte = (guint8) (value >> 8 * i);
      g_byte_array_append (out, &byte, 1);
    }
}

typedef struct
{
  const char *name, *local_name; /* local_name: in front of the data; NULL: the same */
  const char *data;
  guint32 declared; /* size that is claimed; 0: the true one */
  guint32 mode;     /* Unix mode; 0: an ordinary file's */
} Raw;

static void
put_header (GByteArray *out, const Raw *raw, gboolean central, const char *name, guint32 offset)
{
  guint32 size = (guint32) strlen (raw->data), declared = raw->declared != 0 ? raw->declared : size;

  put (out, central ? 0x02014b50 : 0x04034b50, 4);
  if (central)
    put (out, 3 << 8 | 20, 2); /* made by Unix */
  put (out, 20, 2);
  put (out, 0, 2); /* flags: the name is not said to be UTF-8 */
  put (out, 0, 2); /* stored */
  put (out, 0x00210000, 4);
  put (out, crc32_of ((const guint8 *) raw->data, size), 4);
  put (out, declared, 4);
  put (out, declared, 4);
  put (out, (guint32) strlen (name), 2);
  put (out, 0, 2);
  if (central)
    {
      put (out, 0, 2);
      put (out, 0, 2);
      put (out, 0, 2);
      put (out, (raw->mode != 0 ? raw->mode : 0100644) << 16, 4);
      put (out, offset, 4);
    }
  g_byte_array_append (out, (const guint8 *) name, (guint) strlen (name));
}

/* shared: every name of the directory leads to the first file's data. */
static void
write_raw (const char *path, const Raw *items, guint n, gboolean shared)
{
  g_autoptr (GByteArray) out = g_byte_array_new (), directory = g_byte_array_new ();
  FILE *file;

  for (guint i = 0; i < n; i++)
    {
      put_header (directory, &items[i], TRUE, items[i].name, shared ? 0 : out->len);
      if (shared && i > 0)
        continue;
      put_header (out, &items[i], FALSE, items[i].local_name != NULL ? items[i].local_name : items[i].name, 0);
      g_byte_array_append (out, (const guint8 *) items[i].data, (guint) strlen (items[i].data));
    }
  guint32 offset = out->len;
  g_byte_array_append (out, directory->data, directory->len);
  put (out, 0x06054b50, 4);
  put (out, 0, 4);
  put (out, n, 2);
  put (out, n, 2);
  put (out, directory->len, 4);
  put (out, offset, 4);
  put (out, 0, 2);
  file = g_fopen (path, "wb");
  g_assert_cmpuint (fwrite (out->data, 1, out->len, file), ==, out->len);
  g_assert_cmpint (fclose (file), ==, 0);
}

static void
test_raw_names (Fixture *f, gconstpointer data)
{
  static const char *const names[] = { "../board.json", "/tmp/x", "photos\\..\\x", "C:\\x", "photos/\xe4.jpg", /* ISO 8859-1 */
                                       "photos/\x81.jpg", /* code page 437 */
                                       "photos/./x.jpg", "photos/..", "photos/\033[2J.jpg" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      const Raw items[] = { { "board.json", NULL, SAMPLE_DOCUMENT, 0, 0 }, { names[i], NULL, "x", 0, 0 } };
      write_raw (f->path, items, 2, FALSE);
      refused (f, f->path, "");
    }
  /* The name in front of the data is another one than the directory's. */
  const Raw two_names[] = { { "board.json", NULL, SAMPLE_DOCUMENT, 0, 0 },
                            { "photos/front.jpg", "../../front.jpg", "no picture", 0, 0 } };
  write_raw (f->path, two_names, 2, FALSE);
  refused (f, f->path, "");
  const Raw link[] = { { "board.json", NULL, SAMPLE_DOCUMENT, 0, 0 },
                       { "photos/front.jpg", NULL, "/etc/passwd", 0, 0120777 } };
  write_raw (f->path, link, 2, FALSE);
  refused (f, f->path, "link");
}

static void
test_raw_sizes (Fixture *f, gconstpointer data)
{
  const Raw more[] = { { "board.json", NULL, SAMPLE_DOCUMENT, 0x7fffffff, 0 } };
  const Raw less[] = { { "board.json", NULL, SAMPLE_DOCUMENT, 10, 0 } };
  static const Raw one = { "board.json", NULL, SAMPLE_DOCUMENT, 0, 0 };
  g_autoptr (GArray) many = g_array_new (FALSE, FALSE, sizeof (Raw));
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);

  write_raw (f->path, more, 1, FALSE);
  refused (f, f->path, "");
  write_raw (f->path, less, 1, FALSE);
  refused (f, f->path, "");
  /* Ten thousand names for the same bytes. */
  g_array_append_val (many, one);
  for (guint i = 0; i < 9999; i++)
    {
      Raw item = { g_strdup_printf ("photos/%u.jpg", i), NULL, SAMPLE_DOCUMENT, 0, 0 };
      g_ptr_array_add (names, (gpointer) item.name);
      g_array_append_val (many, item);
    }
  write_raw (f->path, (const Raw *) (gconstpointer) many->data, many->len, TRUE);
  g_autoptr (BlDelivery) delivery = bl_delivery_read (f->path, NULL, NULL);
  /* They are taken for one file, or for too many; never for ten thousand. */
  if (delivery != NULL)
    g_assert_cmpuint (g_hash_table_size (((BlBundle *) g_ptr_array_index (delivery->boards, 0))->photos), ==, 0);
}

/* --- equipments --- */

static void
test_equipment (Fixture *f, gconstpointer data)
{
  static const char *const boards[] = {
    "{\"role\": \"in\", \"board\": \"../board.json\"}", "{\"role\": \"in\", \"board\": \"/etc/passwd\"}",
    "{\"role\": \"in\", \"board\": \"missing.json\"}", "{\"role\": \"in\", \"board\": \"equipment.json\"}",
    "{\"role\": \"a b\", \"board\": \"board.json\"}", "{\"role\": \"..\", \"board\": \"board.json\", \"x\": 1}",
    "{\"role\": \"in\", \"board\": \"broken.json\"}", "{\"role\": \"in\"}", "" };

  for (guint i = 0; i < G_N_ELEMENTS (boards); i++)
    {
      g_autofree char *document = g_strconcat (EQUIPMENT_START, boards[i], "]}", NULL);
      make_zip (f->path, "equipment.json", text (document), "board.json", text (SAMPLE_DOCUMENT), "broken.json",
                text ("{\"format\": \"benchlore-board\", \"version\": 1, \"stages\": [{}]}"), NULL);
      refused (f, f->path, "");
    }
  /* A picture of a board that is none. */
  make_zip (f->path, "equipment.json", text (EQUIPMENT_START "{\"role\": \"in\", \"board\": \"a/board.json\"}]}"),
            "a/board.json", text (SAMPLE_DOCUMENT), "a/photos/front.jpg", text ("MZ"), NULL);
  refused (f, f->path, "no picture");
}

/* A short document that joins the same board so often that it would fill the memory. */
static void
test_many_boards (Fixture *f, gconstpointer data)
{
  g_autoptr (GString) document = g_string_new (EQUIPMENT_START);

  for (guint i = 0; i < 50000; i++)
    g_string_append_printf (document, "%s{\"role\": \"r%u\", \"board\": \"board.json\"}", i > 0 ? "," : "", i);
  g_string_append (document, "]}");
  make_zip (f->path, "equipment.json", g_bytes_new (document->str, document->len), "board.json", text (SAMPLE_DOCUMENT),
            NULL);
  refused (f, f->path, "at most");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/store/hostile/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("bombs", test_bombs);
  ADD ("large-document", test_large_document);
  ADD ("pictures", test_pictures);
  ADD ("json", test_json);
  ADD ("raw-names", test_raw_names);
  ADD ("raw-sizes", test_raw_sizes);
  ADD ("equipment", test_equipment);
  ADD ("many-boards", test_many_boards);
  return g_test_run ();
}
