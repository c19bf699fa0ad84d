/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An edition copied to the next one, and what is to be looked at on a real board before the copy is believed. Makers
 * change a few parts from one edition to the next; what they changed is printed nowhere. So the copy is a claim about
 * every part, and each part can be ticked once it was seen. */
#include "config.h"

#include "bl-next-edition.h"

#include "bl-format.h"
#include "bl-missing.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- Marks ------------------------------------------------------------------------------------ */

/* Counts the digits at the end up by one, keeping their number where it fits. */
static char *
count_up (const char *mark, gsize length)
{
  gsize from = length;
  while (from > 0 && g_ascii_isdigit (mark[from - 1]))
    from--;
  g_autofree char *head = g_strndup (mark, from);
  return g_strdup_printf ("%s%0*" G_GUINT64_FORMAT, head, (int) (length - from),
                          g_ascii_strtoull (mark + from, NULL, 10) + 1);
}

/* The letters at the end as a number of the alphabet: B after A, AA after Z. */
static char *
letter_up (const char *mark, gsize length)
{
  char *next = g_strdup (mark);
  gsize at = length;
  while (at > 0 && g_ascii_isalpha (next[at - 1]))
    {
      char *letter = &next[--at], first = g_ascii_islower (*letter) ? 'a' : 'A';
      if (*letter != first + 25)
        {
          (*letter)++;
          return next;
        }
      *letter = first;
    }
  g_autofree char *head = g_strndup (next, at), *tail = g_strdup (next + at);
  char first = tail[0];
  g_free (next);
  return g_strdup_printf ("%s%c%s", head, first, tail);
}

char *
bl_next_mark (const char *mark)
{
  gsize length = mark != NULL ? strlen (mark) : 0;
  if (length == 0)
    return g_strdup ("2");
  if (g_ascii_isdigit (mark[length - 1]))
    return count_up (mark, length);
  /* "B", "AB", "rev. B"; three letters and more are a word. */
  gsize letters = 0;
  while (letters < length && g_ascii_isalpha (mark[length - 1 - letters]))
    letters++;
  if (letters == 1 || letters == 2)
    return letter_up (mark, length);
  return g_strdup_printf ("%s 2", mark);
}

static gboolean
same_text (const char *a, const char *b)
{
  g_autofree char *x = g_utf8_casefold (a != NULL ? a : "", -1), *y = g_utf8_casefold (b != NULL ? b : "", -1);
  return g_str_equal (x, y);
}

/* TRUE when another edition of the board has this mark. Boards without a number cannot be told apart by it. */
static gboolean
is_taken (const GPtrArray *rows, const BlBoard *board, const char *mark)
{
  for (guint i = 0; i < rows->len; i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      if (board->board_number != NULL && same_text (row->board_number, board->board_number)
          && same_text (row->maker, board->maker) && same_text (row->edition, mark))
        return TRUE;
    }
  return FALSE;
}

char *
bl_next_edition_propose (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlBoard) loaded = bl_library_load_board (library, board, error);
  g_autoptr (GPtrArray) rows = loaded != NULL ? bl_library_boards (library, FALSE, error) : NULL;
  if (rows == NULL)
    return NULL;
  char *mark = bl_next_mark (loaded->edition);
  /* As many tries as there are editions that could be in the way. */
  for (guint i = 0; i < rows->len && is_taken (rows, loaded, mark); i++)
    {
      char *next = bl_next_mark (mark);
      g_free (mark);
      mark = next;
    }
  return mark;
}

/* --- Copying ---------------------------------------------------------------------------------- */

static gboolean
check_mark (BlLibrary *library, const BlBoard *board, const char *mark, GError **error)
{
  if (mark[0] == '\0')
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("Which edition is it? Type the mark on the board."));
      return FALSE;
    }
  g_autoptr (GPtrArray) rows = bl_library_boards (library, FALSE, error);
  if (rows != NULL && is_taken (rows, board, mark))
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("Edition %s of %s is in the library already."), mark,
                 board->board_number);
  return rows != NULL && !is_taken (rows, board, mark);
}

static void
set_mark (BlBoard *board, const char *mark)
{
  for (guint i = 0; i < bl_len (board->indications); i++)
    {
      BlIndication *indication = bl_at (board->indications, i);
      if (indication->edition == NULL || !same_text (indication->edition, board->edition))
        continue;
      g_free (indication->edition);
      indication->edition = g_strdup (mark);
    }
  g_free (board->edition);
  board->edition = g_strdup (mark);
}

gint64
bl_next_edition_make (BlLibrary *library, gint64 board, const char *mark, GError **error)
{
  g_return_val_if_fail (library != NULL && mark != NULL, 0);
  g_autofree char *clean = g_strstrip (g_strdup (mark));
  g_autoptr (BlBoard) copy = bl_library_load_board (library, board, error);
  if (copy == NULL || !check_mark (library, copy, clean, error))
    return 0;
  g_autofree char *name = bl_board_title (copy->board_number, copy->edition);
  set_mark (copy, clean);
  return bl_library_add_copy (library, board, name, copy, error);
}

/* --- What to look at -------------------------------------------------------------------------- */

void
bl_look_at_free (BlLookAt *self)
{
  if (self == NULL)
    return;
  g_free (self->id);
  g_free (self->part);
  g_free (self->words);
  g_free (self->photo);
  g_free (self);
}

typedef struct
{
  GPtrArray *parts;
  GHashTable *looked_at;
} Gather;

/* Takes words. */
static BlLookAt *
add (Gather *gather, const char *list, const char *id, char *words)
{
  BlLookAt *part = g_new0 (BlLookAt, 1);
  part->list = list;
  part->id = g_strdup (id);
  part->part = g_strdup_printf ("%s/%s", list, id);
  part->words = words;
  part->x = part->y = NAN;
  part->looked_at = gather->looked_at != NULL && g_hash_table_contains (gather->looked_at, part->part);
  g_ptr_array_add (gather->parts, part);
  return part;
}

static void
set_place (BlLookAt *part, const char *photo, double x, double y)
{
  if (photo == NULL || isnan (x) || isnan (y))
    return;
  part->photo = g_strdup (photo);
  part->x = x;
  part->y = y;
}

/* "fuse, 3.15 A, mains fuse" */
static char *
component_words (const BlComponent *component)
{
  g_autofree char *kind = bl_format_kind (component->kind);
  g_autoptr (GString) words = g_string_new (kind);
  const char *const more[] = { component->value, component->title };
  for (guint i = 0; i < G_N_ELEMENTS (more); i++)
    if (more[i] != NULL && *more[i] != '\0')
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", more[i]);
  return g_strdup (words->str);
}

static char *
lamp_words (const BlBoard *board, const BlIndication *indication)
{
  const BlSymptom *symptom = bl_board_symptom (board, indication->symptom);
  g_autoptr (GString) words = g_string_new (NULL);
  for (guint i = 0; i < bl_len (indication->pattern); i++)
    {
      const BlLampPattern *lamp = bl_at (indication->pattern, i);
      g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", lamp->lamp != NULL ? lamp->lamp : _ ("lamp"));
      if (!isnan (lamp->blinks))
        g_string_append_printf (words, " × %g", lamp->blinks);
    }
  return g_strdup_printf (_ ("%s means: %s"), words->str,
                          symptom != NULL && symptom->title != NULL ? symptom->title : indication->symptom);
}

/* Its symptom and, from the second on, which of those with it: a tick stays where another pattern goes. */
static char *
indication_id (const BlBoard *board, guint index)
{
  const char *symptom = ((const BlIndication *) bl_at (board->indications, index))->symptom;
  guint number = 1;
  for (guint i = 0; i < index; i++)
    number += g_strcmp0 (((const BlIndication *) bl_at (board->indications, i))->symptom, symptom) == 0;
  return number > 1 ? g_strdup_printf ("%s (%u)", symptom, number) : g_strdup (symptom);
}

GPtrArray *
bl_next_edition_parts (const BlBoard *board, GHashTable *looked_at)
{
  g_return_val_if_fail (board != NULL, NULL);
  Gather gather = { g_ptr_array_new_with_free_func ((GDestroyNotify) bl_look_at_free), looked_at };
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      add (&gather, "photos", photo->id, g_strdup (_ ("the picture is of this edition, or nothing on it has moved")));
    }
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      set_place (add (&gather, "components", component->id, component_words (component)), component->photo,
                 component->x, component->y);
    }
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      set_place (add (&gather, "test_points", point->id, g_strdup (point->title != NULL ? point->title : "")),
                 point->photo, point->x, point->y);
    }
  for (guint i = 0; i < bl_len (board->indications); i++)
    {
      const BlIndication *indication = bl_at (board->indications, i);
      g_autofree char *id = indication_id (board, i);
      add (&gather, "indications", id, lamp_words (board, indication));
    }
  return gather.parts;
}
