/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-drill.h"
#include "bl-spacing.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* Practice in a library of its own, kept on this machine only: who practises, their drills, their answers, and when each
 * topic is due again. The library of the shop has none of it. */

/* The file that goes with a library of the shop: in the user's data folder, wherever that one lies, and another one for
 * each; so whoever practises on the demo leaves no trace among the shop's own people. Returns: (transfer full). */
char *bl_library_practice_path (BlLibrary *shop);

/* --- who practises: short names or initials --- */

typedef struct
{
  gint64 id;
  char *name;
  gboolean practising; /* at present; at most one is */
  gint64 created;      /* UTC, microseconds since 1970, as all times here */
} BlPerson;
void bl_person_free (BlPerson *person);

/* By name. (transfer full) GPtrArray of BlPerson */
GPtrArray *bl_library_persons (BlLibrary *library, GError **error);
/* Returns the id, 0 on error; BL_STORE_ERROR_INVALID for an empty name and for one that somebody has, in whatever
 * letters. */
gint64 bl_library_add_person (BlLibrary *library, const char *name, GError **error);
/* The name before cannot be read out of the file afterwards. Not in a transaction, as the next one. */
gboolean bl_library_rename_person (BlLibrary *library, gint64 id, const char *name, GError **error);
/* Removes a person with all of theirs, for good: drills with their jobs and logs, answers, what is due. Nothing of it can
 * be read out of the file afterwards. */
gboolean bl_library_remove_person (BlLibrary *library, gint64 id, GError **error);
/* 0: nobody. */
gboolean bl_library_set_practising (BlLibrary *library, gint64 id, GError **error);

/* --- drills --- */

typedef struct
{
  gint64 id, person;
  BlDrillKind kind;
  gboolean planted;            /* into a real board by the trainer; kind says nothing then */
  gint64 board, equipment;     /* the copy in this library that it is about; one of them is 0 */
  char *subject;               /* uid of what was copied */
  char *title;                 /* filled on reading: board number and edition, or the equipment's title */
  guint32 seed;
  char **sections;             /* ids; empty: anywhere */
  char **faults;               /* "COMPONENT:MODE"; NULL: not drawn yet. Sealed until the end. */
  gint64 job;                  /* 0: not begun */
  gint64 made, started, ended; /* 0: not yet */
  char *stage, *component;     /* named at the end; NULL: not */
  gboolean scored;             /* what follows is known */
  char *section_kind, *family; /* what the fault was; NULL: of none */
  gboolean stage_right, component_right, failed; /* failed: there was an unsafe act */
  double regret_s, effort_s;
  guint n_measured, n_right, n_told_nothing, n_unsafe;
} BlDrillRow;
BlDrillRow *bl_drill_row_new (void);
void bl_drill_row_free (BlDrillRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDrillRow, bl_drill_row_free)

/* Those of a person (0: of all), the newest first. (transfer full) GPtrArray of BlDrillRow */
GPtrArray *bl_library_drills (BlLibrary *library, gint64 person, GError **error);
BlDrillRow *bl_library_load_drill (BlLibrary *library, gint64 id, GError **error);
/* person, kind or planted, board or equipment, subject, seed, sections, faults. Returns the id, 0 on error. */
gint64 bl_library_add_drill (BlLibrary *library, const BlDrillRow *row, GError **error);
/* One that has not begun; otherwise refused. */
gboolean bl_library_delete_drill (BlLibrary *library, gint64 id, GError **error);
/* Begins it: makes its job and keeps what was drawn. Returns the job's id, 0 on error; refused when it has begun. */
gint64 bl_library_begin_drill (BlLibrary *library, gint64 id, const char *const *faults, GError **error);
/* Ends it with what was named; NULL: not named. Refused when it has not begun, or has ended. */
gboolean bl_library_end_drill (BlLibrary *library, gint64 id, const char *stage, const char *component, GError **error);
/* Keeps the score of one that has ended: everything from section_kind on. */
gboolean bl_library_score_drill (BlLibrary *library, const BlDrillRow *row, GError **error);

/* Whether a drill is about this board, alone or in an equipment, or about this equipment; 0: none. */
gboolean bl_library_is_drilled (BlLibrary *library, gint64 board, gint64 equipment, gboolean *drilled, GError **error);

/* --- answers --- */

typedef enum
{
  BL_ANSWER_WAY,    /* where something is on the photo, or what is there */
  BL_ANSWER_READS,  /* what a measurement should read */
  BL_ANSWER_WORKED, /* a case worked step by step */
  BL_N_ANSWER_KINDS
} BlAnswerKind;
const char *bl_answer_kind_name (BlAnswerKind kind); /* "way": as files have it */

typedef struct
{
  gint64 id, person, time;
  BlAnswerKind kind;
  char *subject; /* uid of the board */
  char *topic;   /* kind of section */
  char *family;  /* WORKED: of the fault; NULL: not said */
  char *what;    /* what was asked for, as the document names it */
  gboolean right, near;
  gboolean asked; /* FALSE: it was shown, nothing was asked */
} BlAnswer;
void bl_answer_free (BlAnswer *answer);
/* In order of time. (transfer full) GPtrArray of BlAnswer */
GPtrArray *bl_library_answers (BlLibrary *library, gint64 person, GError **error);
/* Gives it id and, when 0, time. */
gboolean bl_library_add_answer (BlLibrary *library, BlAnswer *answer, GError **error);

/* --- what is due again --- */

typedef enum
{
  BL_TOPIC_WAY,     /* finding one's way in sections of a kind */
  BL_TOPIC_READS,   /* what is read in sections of a kind */
  BL_TOPIC_SECTION, /* faults in sections of a kind */
  BL_TOPIC_FAMILY,  /* faults of a family */
  BL_N_TOPIC_KINDS
} BlTopicKind;

typedef struct
{
  BlTopicKind kind;
  char *topic;      /* kind of section, or family */
  BlSpacing spacing;
} BlTopicRow;
void bl_topic_row_free (BlTopicRow *row);
/* The longest due first. (transfer full) GPtrArray of BlTopicRow */
GPtrArray *bl_library_topics (BlLibrary *library, gint64 person, GError **error);
gboolean bl_library_put_topic (BlLibrary *library, gint64 person, const BlTopicRow *row, GError **error);

G_END_DECLS
