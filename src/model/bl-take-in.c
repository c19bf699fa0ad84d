/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Taking in a job. A library holds some hundred boards; they are read once when taking in begins, and looked through with
 * each letter typed. What was typed and does not fit anything documented is kept all the same: as the name of a board
 * from a photo alone, or as a line of the log that says that the edition was not established. */
#include "config.h"

#include "bl-take-in.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-edition.h"
#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-library-equipment.h"
#include "bl-library-known-good.h"

/* --- what a job can be about --- */

void
bl_subject_free (BlSubject *subject)
{
  if (subject == NULL)
    return;
  g_free (subject->number);
  g_free (subject->edition);
  g_free (subject->title);
  g_free (subject->detail);
  g_free (subject);
}

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

static BlSubject *
add_subject (GPtrArray *subjects, BlSubjectKind kind, gint64 id, const char *number, const char *edition)
{
  BlSubject *subject = g_new0 (BlSubject, 1);

  subject->kind = kind;
  subject->id = id;
  subject->number = g_strdup (or_empty (number));
  subject->edition = g_strdup (or_empty (edition));
  g_ptr_array_add (subjects, subject);
  return subject;
}

static void
add_board (GPtrArray *subjects, const BlBoardRow *row)
{
  BlSubject *subject = add_subject (subjects, BL_SUBJECT_BOARD, row->id, row->board_number, row->edition);
  g_autofree char *name = g_strstrip (g_strjoin (" ", or_empty (row->maker), or_empty (row->board_number), NULL));
  g_autofree char *measurements
    = g_strdup_printf (ngettext ("%u measurement", "%u measurements", row->n_measurements), row->n_measurements);
  g_autofree char *jobs = g_strdup_printf (ngettext ("%u job", "%u jobs", row->n_jobs), row->n_jobs);

  subject->title = *subject->edition != '\0' ? g_strdup_printf (_ ("%s, edition %s"), name, subject->edition)
                                             : g_strdup (name);
  subject->detail = g_strdup_printf ("%s, %s", measurements, jobs);
}

static void
add_equipment (GPtrArray *subjects, const BlEquipmentRow *row)
{
  BlSubject *subject = add_subject (subjects, BL_SUBJECT_EQUIPMENT, row->id, NULL, NULL);
  guint n = bl_len (row->boards);

  subject->title = g_strdup (row->title != NULL && *row->title != '\0' ? row->title : _ ("equipment without a name"));
  subject->detail = g_strdup_printf (ngettext ("equipment of %u board", "equipment of %u boards", n), n);
}

GPtrArray *
bl_subjects (BlLibrary *library, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GPtrArray) subjects = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_subject_free);
  g_autoptr (GPtrArray) boards = bl_library_boards (library, FALSE, error);
  g_autoptr (GPtrArray) equipments = boards != NULL ? bl_library_equipments (library, error) : NULL;

  if (equipments == NULL)
    return NULL;
  for (guint i = 0; i < boards->len; i++)
    add_board (subjects, bl_at (boards, i));
  for (guint i = 0; i < equipments->len; i++)
    add_equipment (subjects, bl_at (equipments, i));
  BlSubject *photo = add_subject (subjects, BL_SUBJECT_PHOTO, 0, NULL, NULL);
  photo->title = g_strdup (_ ("from a photo alone"));
  photo->detail = g_strdup (_ ("not documented yet"));
  return g_steal_pointer (&subjects);
}

static gboolean
has_words (const char *title, const char *words)
{
  g_autofree char *all = g_utf8_casefold (title, -1), *wanted = g_utf8_casefold (words, -1);
  g_auto (GStrv) list = g_strsplit (wanted, " ", -1);

  for (guint i = 0; list[i] != NULL; i++)
    if (strstr (all, list[i]) == NULL)
      return FALSE;
  return TRUE;
}

static gboolean
begins_with (const char *text, const char *prefix)
{
  g_autofree char *all = g_utf8_casefold (text, -1), *wanted = g_utf8_casefold (prefix, -1);
  return g_str_has_prefix (all, wanted);
}

GPtrArray *
bl_subjects_matching (GPtrArray *subjects, const char *number, const char *edition)
{
  g_return_val_if_fail (subjects != NULL, NULL);
  g_autofree char *words = g_strstrip (g_strdup (or_empty (number))), *mark = g_strstrip (g_strdup (or_empty (edition)));
  GPtrArray *found = g_ptr_array_new ();

  for (guint pass = 0; pass < 3; pass++)
    for (guint i = 0; i < subjects->len; i++)
      {
        BlSubject *subject = bl_at (subjects, i);
        gboolean board = subject->kind == BL_SUBJECT_BOARD;
        /* First what fits in all, then other editions of the number, last the photo alone. */
        guint place = subject->kind == BL_SUBJECT_PHOTO ? 2 : !board || begins_with (subject->edition, mark) ? 0 : 1;
        if (place == pass && (subject->kind == BL_SUBJECT_PHOTO || has_words (subject->title, words)))
          g_ptr_array_add (found, subject);
      }
  return found;
}

/* Editions of a number that are documented: "A, B and C" would need a language; "A, B, C". */
static char *
editions_of (GPtrArray *subjects, const char *number, guint *n)
{
  GString *list = g_string_new (NULL);

  *n = 0;
  for (guint i = 0; i < subjects->len; i++)
    {
      const BlSubject *subject = bl_at (subjects, i);
      if (subject->kind != BL_SUBJECT_BOARD || !g_str_equal (subject->number, number))
        continue;
      g_string_append_printf (list, "%s%s", *n > 0 ? ", " : "", *subject->edition != '\0' ? subject->edition : "–");
      (*n)++;
    }
  return g_string_free (list, FALSE);
}

static gboolean
same_mark (const char *a, const char *b)
{
  g_autofree char *first = g_utf8_casefold (a, -1), *second = g_utf8_casefold (b, -1);
  return g_str_equal (first, second);
}

char *
bl_subject_doubt (GPtrArray *subjects, const BlSubject *chosen, const char *number, const char *edition)
{
  g_return_val_if_fail (subjects != NULL, NULL);
  g_autofree char *mark = g_strstrip (g_strdup (or_empty (edition))), *words = g_strstrip (g_strdup (or_empty (number)));
  guint n;

  if (chosen == NULL || chosen->kind == BL_SUBJECT_EQUIPMENT)
    return NULL;
  if (chosen->kind == BL_SUBJECT_PHOTO)
    return *words == '\0' ? NULL
                          : g_strdup_printf (_ ("%s is not documented: nothing to compare with, until a photo is read."), words);
  g_autofree char *known = editions_of (subjects, chosen->number, &n);
  if (*mark != '\0' && !same_mark (mark, chosen->edition))
    return n > 1 ? g_strdup_printf (_ ("Edition %s is not documented, but %s are. Taken in as edition %s: values and lamp "
                                       "codes may differ."), mark, known, chosen->edition)
                 : g_strdup_printf (_ ("Edition %s is not documented. Taken in as edition %s: values and lamp codes may "
                                       "differ."), mark, chosen->edition);
  if (*mark == '\0' && n > 1)
    return g_strdup_printf (_ ("Edition not established: %s are documented, and the same lamps may mean something else on "
                               "each. Look for the mark on the board."), known);
  return NULL;
}

/* --- whether it was here before --- */

/* A job that ended: as what, and how long ago. */
static char *
ended_words (const BlJob *job, int days)
{
  switch (job->state)
    {
    case BL_JOB_NOT_ECONOMICAL:
      return g_strdup_printf (ngettext ("not economical %d day ago", "not economical %d days ago", days), days);
    case BL_JOB_RETURNED:
      return g_strdup_printf (ngettext ("handed back %d day ago, returned", "handed back %d days ago, returned", days), days);
    default:
      return g_strdup_printf (ngettext ("handed back %d day ago", "handed back %d days ago", days), days);
    }
}

char *
bl_earlier_words (const BlJob *job, gint64 now)
{
  g_return_val_if_fail (job != NULL, NULL);
  g_autofree char *day = bl_format_day (job->created, now);
  const char *what = job->cause != NULL && *job->cause != '\0'           ? job->cause
                     : job->complaint != NULL && *job->complaint != '\0' ? job->complaint
                                                                         : job->board_name;
  int days = job->handed_back != 0 ? bl_days_between (job->handed_back, now) : 0;
  g_autofree char *state = job->closed ? ended_words (job, days) : g_strdup (bl_job_state_word (job->state));

  return g_strdup_printf (_ ("Job %d, %s: %s; %s"), job->number, day, or_empty (what), state);
}

/* --- taking in --- */

BlTakenPhoto *
bl_taken_photo_new (const char *title, const char *mime, GBytes *image, GBytes *thumbnail)
{
  g_return_val_if_fail (mime != NULL && image != NULL, NULL);
  BlTakenPhoto *photo = g_new0 (BlTakenPhoto, 1);

  photo->title = g_strdup (title);
  photo->mime = g_strdup (mime);
  photo->image = g_bytes_ref (image);
  photo->thumbnail = thumbnail != NULL ? g_bytes_ref (thumbnail) : NULL;
  return photo;
}

void
bl_taken_photo_free (BlTakenPhoto *photo)
{
  if (photo == NULL)
    return;
  g_free (photo->title);
  g_free (photo->mime);
  g_bytes_unref (photo->image);
  g_clear_pointer (&photo->thumbnail, g_bytes_unref);
  g_free (photo);
}

BlTakeIn *
bl_take_in_new (void)
{
  BlTakeIn *self = g_new0 (BlTakeIn, 1);

  self->about = BL_SUBJECT_PHOTO;
  self->photos = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_taken_photo_free);
  return self;
}

void
bl_take_in_free (BlTakeIn *self)
{
  if (self == NULL)
    return;
  g_free (self->board_number);
  g_free (self->edition);
  g_free (self->doubt);
  g_free (self->customer);
  g_free (self->unit);
  g_free (self->serial);
  g_free (self->complaint);
  g_free (self->came_with);
  g_free (self->symptom);
  g_ptr_array_unref (self->photos);
  g_free (self);
}

static char *
said (const char *text)
{
  g_autofree char *plain = g_strstrip (g_strdup (or_empty (text)));
  return *plain != '\0' ? g_steal_pointer (&plain) : NULL;
}

/* The board of a job from a photo alone, with the name that was typed. Returns its id, 0 on error. */
static gint64
board_from_photo (const BlTakeIn *self, BlLibrary *library, GError **error)
{
  if (self->photos->len == 0)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("add a photo of the board, or choose a documented one"));
      return 0;
    }
  const BlTakenPhoto *photo = bl_at (self->photos, 0);
  gint64 id = bl_edition_create (library, TRUE, photo->mime, photo->image, photo->thumbnail, error);
  g_autoptr (BlBoard) board = id != 0 ? bl_library_load_board (library, id, error) : NULL;
  g_autofree char *number = said (self->board_number), *edition = said (self->edition);

  if (board == NULL || (number == NULL && edition == NULL))
    return board != NULL ? id : 0;
  g_free (board->board_number);
  board->board_number = g_steal_pointer (&number);
  g_free (board->edition);
  board->edition = g_steal_pointer (&edition);
  return bl_library_save_board (library, id, board, error) ? id : 0;
}

static gboolean
add_line (BlLibrary *library, gint64 job, BlRecordKind kind, const char *subject, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);

  record->job = job;
  return bl_library_append (library, record, error);
}

static gboolean
add_photos (const BlTakeIn *self, BlLibrary *library, gint64 job, GError **error)
{
  for (guint i = self->about == BL_SUBJECT_PHOTO ? 1 : 0; i < self->photos->len; i++)
    {
      const BlTakenPhoto *photo = bl_at (self->photos, i);
      gint64 id = bl_library_add_job_photo (library, job, photo->title, photo->mime, photo->image, error);
      g_autofree char *subject = g_strdup_printf ("job:%" G_GINT64_FORMAT, id);
      if (id == 0 || !add_line (library, job, BL_RECORD_PHOTO, subject, photo->title, error))
        return FALSE;
    }
  return TRUE;
}

static gint64
add_job (const BlTakeIn *self, BlLibrary *library, GError **error)
{
  g_autoptr (BlJob) job = bl_job_new ();

  job->number = self->number;
  job->board = self->about == BL_SUBJECT_BOARD   ? self->subject
               : self->about == BL_SUBJECT_PHOTO ? board_from_photo (self, library, error)
                                                 : 0;
  job->equipment = self->about == BL_SUBJECT_EQUIPMENT ? self->subject : 0;
  if (job->board == 0 && job->equipment == 0)
    return 0;
  job->customer = said (self->customer);
  job->unit = said (self->unit);
  job->serial = said (self->serial);
  job->complaint = said (self->complaint);
  job->came_with = said (self->came_with);
  job->return_of = self->return_of;
  bl_job_set_state (job, self->on_bench ? BL_JOB_ON_THE_BENCH : BL_JOB_WAITING);
  gint64 id = bl_library_add_job (library, job, error);
  if (id == 0)
    return 0;
  gboolean ok = add_photos (self, library, id, error)
                && (self->symptom == NULL || self->about == BL_SUBJECT_PHOTO
                    || add_line (library, id, BL_RECORD_SYMPTOM, self->symptom, "yes", error))
                && (self->doubt == NULL || add_line (library, id, BL_RECORD_NOTE, NULL, self->doubt, error))
                && (!self->known_good || self->about != BL_SUBJECT_BOARD
                    || bl_library_mark_known_good (library, id, BL_KNOWN_GOOD_YES, error));
  return ok ? id : 0;
}

gint64
bl_take_in_keep (const BlTakeIn *self, BlLibrary *library, GError **error)
{
  g_return_val_if_fail (self != NULL && library != NULL, 0);
  const char *doing = _ ("taking in the job");

  if (!bl_library_begin (library, doing, error))
    return 0;
  gint64 id = add_job (self, library, error);
  return bl_library_end (library, id != 0, doing, error) ? id : 0;
}
