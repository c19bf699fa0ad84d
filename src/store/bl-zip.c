/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Zip files by libarchive, from people one does not know.
 *
 * Everything is unpacked into memory under limits and checked before anybody sees it, so a hostile
 * name or link has no file system to reach. Sizes count as they are unpacked, never as they are
 * declared. What the files mean is not known here. */
#include "config.h"

#include "bl-zip.h"

#include <archive.h>
#include <archive_entry.h>
#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>
#include <unistd.h>

#define MIB (G_GUINT64_CONSTANT (1) << 20)
#define MAX_HEADERS 1024 /* folders included */

const BlZipLimits bl_zip_limits = { 64, 128 * MIB, 512 * MIB, 100, MIB };

gboolean
bl_path_is_plain (const char *path)
{
  g_auto (GStrv) parts = NULL;

  if (path == NULL || path[0] == '\0' || !g_utf8_validate (path, -1, NULL) || strlen (path) > 255 ||
      strchr (path, '\\') != NULL || strchr (path, ':') != NULL)
    return FALSE;
  for (const char *c = path; *c != '\0'; c = g_utf8_next_char (c))
    if (g_unichar_iscntrl (g_utf8_get_char (c)))
      return FALSE;
  parts = g_strsplit (path, "/", -1);
  for (guint i = 0; parts[i] != NULL; i++)
    if (parts[i][0] == '\0' || g_str_equal (parts[i], ".") || g_str_equal (parts[i], ".."))
      return FALSE;
  return TRUE;
}

/* libarchive turns names by way of the locale's character set; without a UTF-8 one (a program
 * started from a service, a test) it loses what is not ASCII. Only this thread is changed, and only
 * meanwhile. Returns what end_utf8 () takes back. */
static locale_t
begin_utf8 (void)
{
  locale_t utf8 = newlocale (LC_CTYPE_MASK, "C.UTF-8", duplocale (uselocale ((locale_t) 0)));

  return utf8 != (locale_t) 0 ? uselocale (utf8) : (locale_t) 0;
}

static void
end_utf8 (locale_t before)
{
  if (before != (locale_t) 0)
    freelocale (uselocale (before));
}

/* --- reading --- */

typedef struct
{
  const char *path;
  const BlZipLimits *limits;
  struct archive *archive;
  GHashTable *entries;
  guint64 packed; /* size of the zip */
  guint64 total;  /* unpacked so far */
} Reader;

static gboolean
refuse (const Reader *reader, const char *name, const char *reason, GError **error)
{
  g_autofree char *shown = name != NULL ? g_strescape (name, NULL) : NULL;

  if (shown != NULL) /* Translators: zip file, file in it, reason. */
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s: %s"), reader->path,
                 shown, reason);
  else
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s"), reader->path, reason);
  return FALSE;
}

static gboolean
refuse_damage (const Reader *reader, const char *name, GError **error)
{
  const char *reason = archive_error_string (reader->archive);

  return refuse (reader, name, reason != NULL ? reason : _ ("the zip is damaged"), error);
}

/* Appends a block to the file being unpacked unless a limit speaks against it. */
static gboolean
take_block (Reader *reader,
            const char *name,
            GByteArray *data,
            const guint8 *block,
            gsize size,
            GError **error)
{
  const BlZipLimits *limits = reader->limits;

  reader->total += size;
  if (data->len + size > limits->entry)
    return refuse (reader, name, _ ("the file is too large"), error);
  if (reader->total > limits->total)
    return refuse (reader, NULL, _ ("the files are too large together"), error);
  if (reader->total > limits->ratio_from && reader->total / limits->ratio > reader->packed)
    return refuse (reader, name, _ ("it unpacks to far more than a picture or a document does"),
                   error);
  g_byte_array_append (data, block, (guint) size);
  return TRUE;
}

static GBytes *
read_data (Reader *reader, const char *name, GError **error)
{
  g_autoptr (GByteArray) data = g_byte_array_new ();
  g_autofree guint8 *block = g_malloc (64 * 1024);
  la_ssize_t size;

  while ((size = archive_read_data (reader->archive, block, 64 * 1024)) > 0)
    if (!take_block (reader, name, data, block, (gsize) size, error))
      return NULL;
  if (size < 0)
    {
      refuse_damage (reader, name, error);
      return NULL;
    }
  return g_byte_array_free_to_bytes (g_steal_pointer (&data));
}

/* A name that is plain, or a folder's plain name with the slash that zips end it with. */
static gboolean
check_name (const Reader *reader, const char *name, gboolean folder, GError **error)
{
  g_autofree char *bare = g_strdup (name);

  if (name == NULL)
    return refuse (reader, NULL, _ ("a file in it has a name that cannot be read"), error);
  if (folder && g_str_has_suffix (bare, "/"))
    bare[strlen (bare) - 1] = '\0';
  if (!bl_path_is_plain (bare))
    return refuse (reader, name,
                   _ ("a name like this is not allowed: it may lead out of the folder"), error);
  return TRUE;
}

static gboolean
read_entry (Reader *reader, struct archive_entry *entry, GError **error)
{
  const char *name = archive_entry_pathname_utf8 (entry);
  gboolean folder = archive_entry_filetype (entry) == AE_IFDIR;
  GBytes *bytes;

  if (!check_name (reader, name, folder, error))
    return FALSE;
  if (archive_entry_filetype (entry) == AE_IFLNK || archive_entry_hardlink (entry) != NULL ||
      archive_entry_symlink (entry) != NULL)
    return refuse (reader, name, _ ("links are not allowed"), error);
  if (folder)
    return TRUE;
  if (archive_entry_filetype (entry) != AE_IFREG)
    return refuse (reader, name, _ ("it is no ordinary file"), error);
  if (archive_entry_is_encrypted (entry))
    return refuse (reader, name, _ ("the file is encrypted"), error);
  if (g_hash_table_contains (reader->entries, name))
    return refuse (reader, name, _ ("the name is there twice"), error);
  if (g_hash_table_size (reader->entries) >= reader->limits->files)
    return refuse (reader, NULL, _ ("there are too many files in it"), error);
  bytes = read_data (reader, name, error);
  if (bytes == NULL)
    return FALSE;
  g_hash_table_insert (reader->entries, g_strdup (name), bytes);
  return TRUE;
}

static gboolean
read_entries (Reader *reader, GError **error)
{
  struct archive_entry *entry = NULL;

  for (guint n = 0;; n++)
    {
      int result = archive_read_next_header (reader->archive, &entry);
      if (result == ARCHIVE_EOF)
        return TRUE;
      if (result < ARCHIVE_WARN)
        return refuse_damage (reader, NULL, error);
      if (n >= MAX_HEADERS)
        return refuse (reader, NULL, _ ("there are too many files in it"), error);
      if (!read_entry (reader, entry, error))
        return FALSE;
    }
}

GHashTable *
bl_zip_read (const char *path, const BlZipLimits *limits, GError **error)
{
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  Reader reader = { path, limits, archive_read_new (), entries, 0, 0 };
  locale_t before = begin_utf8 ();
  GStatBuf info;
  gboolean ok;

  if (g_stat (path, &info) == 0)
    reader.packed = (guint64) info.st_size;
  /* The directory at the zip's end alone counts, as in every other program that reads it. */
  archive_read_support_format_zip_seekable (reader.archive);
  archive_read_set_options (reader.archive, "zip:hdrcharset=UTF-8");
  if (reader.packed == 0)
    ok = refuse (&reader, NULL, _ ("the file is empty"), error);
  else if (archive_read_open_filename (reader.archive, path, 64 * 1024) == ARCHIVE_OK)
    ok = read_entries (&reader, error);
  else
    ok = refuse_damage (&reader, NULL, error);
  archive_read_free (reader.archive);
  end_utf8 (before);
  return ok ? g_steal_pointer (&entries) : NULL;
}

/* --- writing --- */

static gboolean
write_entry (struct archive *archive, const char *name, GBytes *bytes)
{
  struct archive_entry *entry = archive_entry_new ();
  gsize size = 0;
  gconstpointer data = g_bytes_get_data (bytes, &size);
  /* Pictures are packed already. */
  int packed = g_str_has_suffix (name, ".json")
                   ? archive_write_zip_set_compression_deflate (archive)
                   : archive_write_zip_set_compression_store (archive);
  gboolean ok;

  archive_entry_set_pathname_utf8 (entry, name);
  archive_entry_set_filetype (entry, AE_IFREG);
  archive_entry_set_perm (entry, 0644);
  archive_entry_set_size (entry, (la_int64_t) size);
  archive_entry_set_mtime (entry, 315532800, 0); /* 1980, where a zip's time begins */
  ok = packed == ARCHIVE_OK && archive_write_header (archive, entry) == ARCHIVE_OK &&
       (size == 0 || archive_write_data (archive, data, size) == (la_ssize_t) size);
  archive_entry_free (entry);
  return ok;
}

static gboolean
write_to (int fd, const char *const *names, GHashTable *entries, char **reason)
{
  locale_t before = begin_utf8 ();
  struct archive *archive = archive_write_new ();
  gboolean ok = archive_write_set_format_zip (archive) == ARCHIVE_OK &&
                archive_write_set_options (archive, "zip:hdrcharset=UTF-8") == ARCHIVE_OK &&
                archive_write_open_fd (archive, fd) == ARCHIVE_OK;

  for (guint i = 0; ok && names[i] != NULL; i++)
    ok = write_entry (archive, names[i], g_hash_table_lookup (entries, names[i]));
  ok = ok && archive_write_close (archive) == ARCHIVE_OK;
  if (!ok)
    *reason = g_strdup (archive_error_string (archive));
  archive_write_free (archive);
  end_utf8 (before);
  return ok;
}

static gboolean
writing_failed (const char *path, int number, const char *reason, GError **error)
{
  int code = number == ENOSPC || number == EDQUOT                     ? BL_STORE_ERROR_FULL
             : number == EROFS || number == EACCES || number == EPERM ? BL_STORE_ERROR_READ_ONLY
                                                                      : BL_STORE_ERROR_FAILED;

  g_set_error (error, BL_STORE_ERROR, code, _ ("%s: cannot be written: %s"), path,
               reason != NULL ? reason : g_strerror (number));
  return FALSE;
}

gboolean
bl_zip_write (const char *path, const char *const *names, GHashTable *entries, GError **error)
{
  g_autofree char *beside = g_strconcat (path, ".XXXXXX", NULL), *reason = NULL;
  int fd = g_mkstemp_full (beside, O_RDWR | O_CLOEXEC, 0644), number = 0;
  gboolean ok;

  if (fd < 0)
    return writing_failed (path, errno, NULL, error);
  errno = 0;
  ok = write_to (fd, names, entries, &reason) && fsync (fd) == 0;
  number = errno;
  if (close (fd) != 0 && ok)
    {
      ok = FALSE;
      number = errno;
    }
  if (ok && g_rename (beside, path) != 0)
    {
      ok = FALSE;
      number = errno;
    }
  if (ok)
    return TRUE;
  g_unlink (beside);
  return writing_failed (path, number, reason, error);
}
