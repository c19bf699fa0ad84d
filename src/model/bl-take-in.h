/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Taking in a job at the counter: what it is about, who brought it, whether it was here before. (The taking-in of bundles
 * is bl-intake.h.) */

/* --- what a job can be about --- */

typedef enum
{
  BL_SUBJECT_BOARD,     /* a documented edition */
  BL_SUBJECT_EQUIPMENT, /* boards joined by conductors */
  BL_SUBJECT_PHOTO      /* nothing documented: from a photo alone */
} BlSubjectKind;

typedef struct
{
  BlSubjectKind kind;
  gint64 id;              /* of the board or equipment */
  char *number, *edition; /* of a board; "" where it has none, and of others */
  char *title;            /* "Hearthway BM-W350-CTL, edition C", an equipment's title, "from a photo alone" */
  char *detail;           /* "32 measurements, 4 jobs" */
} BlSubject;
void bl_subject_free (BlSubject *subject);

/* Everything a job can be about: boards by maker, number and edition, then equipments, then the photo alone, which is
 * always there. (transfer full) GPtrArray of BlSubject */
GPtrArray *bl_subjects (BlLibrary *library, GError **error);
/* Those that fit what was typed so far, the photo alone among them: every word of number stands in title, in either case,
 * and a board's edition begins with edition; boards whose number alone fits come after those whose edition does too. With
 * neither all of them. (transfer container) */
GPtrArray *bl_subjects_matching (GPtrArray *subjects, const char *number, const char *edition);
/* What has to be said about the edition of the one chosen: it is not the one typed, or none was typed and there are others
 * of this number. NULL: it is established, or there is nothing to doubt. (transfer full) */
char *bl_subject_doubt (GPtrArray *subjects, const BlSubject *chosen, const char *number, const char *edition);

/* --- whether it was here before --- */

/* "Job 1041, 12 Sep 2026: K1: contact does not make; handed back 75 days ago": what an earlier job of the same serial number
 * was, and how long ago. (transfer full) */
char *bl_earlier_words (const BlJob *job, gint64 now);

/* --- taking in --- */

typedef struct
{
  char *title, *mime;
  GBytes *image, *thumbnail; /* thumbnail: NULL unless it may become the photo of a board */
} BlTakenPhoto;
BlTakenPhoto *bl_taken_photo_new (const char *title, const char *mime, GBytes *image, GBytes *thumbnail);
void bl_taken_photo_free (BlTakenPhoto *photo);

typedef struct
{
  int number; /* 0: the next one */
  BlSubjectKind about;
  gint64 subject;
  char *board_number, *edition; /* as typed; name a board from a photo alone */
  char *doubt;                  /* about the edition: kept as a line of the log; NULL: none */
  char *customer, *unit, *serial, *complaint, *came_with;
  char *symptom; /* id, or NULL */
  gboolean known_good, on_bench;
  gint64 return_of;  /* id; 0: none */
  GPtrArray *photos; /* BlTakenPhoto */
} BlTakeIn;
BlTakeIn *bl_take_in_new (void);
void bl_take_in_free (BlTakeIn *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTakeIn, bl_take_in_free)

/* Keeps it as a job, all of it or nothing. A job from a photo alone takes the first photo for its board. Returns its id, 0
 * on error. */
gint64 bl_take_in_keep (const BlTakeIn *self, BlLibrary *library, GError **error);

G_END_DECLS
