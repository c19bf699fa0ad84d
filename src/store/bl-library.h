/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-evidence.h"
#include "bl-learn.h"
#include "bl-shop-meter.h"
#include "bl-store-error.h"

G_BEGIN_DECLS

/* A library: one SQLite file with the shop's boards, photos, jobs and bench logs. Every call that
 * changes something is one transaction and is on disk when it returns TRUE. One thread. */

typedef struct BlLibrary BlLibrary;

/* The user's own library in the XDG data folder. Returns: (transfer full). */
char *bl_library_default_path (void);

/* Opens the library at path, making it and its folders when there is none and create is TRUE.
 * An older library is copied beside itself, then migrated step by step. A file that may only be
 * read opens read-only. */
BlLibrary *bl_library_open (const char *path, gboolean create, GError **error);
void bl_library_close (BlLibrary *library);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlLibrary, bl_library_close)
const char *bl_library_path (BlLibrary *library);
gboolean bl_library_is_read_only (BlLibrary *library);

/* Several changes as one, all or none: begin, the changes, end with ok TRUE where each was made. They nest. doing:
 * what is being done, for the message of an error. end returns TRUE when all of it is kept. */
gboolean bl_library_begin (BlLibrary *library, const char *doing, GError **error);
gboolean bl_library_end (BlLibrary *library, gboolean ok, const char *doing, GError **error);

/* --- boards --- */

typedef struct
{
  gint64 id;
  char *uid, *maker, *model, *board_number, *edition;
  gboolean
      provisional; /* made for one job from a photo; not listed among the documented editions */
  guint n_measurements, n_components, n_jobs;
  gint64 changed; /* UTC, microseconds since 1970 */
} BlBoardRow;
void bl_board_row_free (BlBoardRow *row);

/* All boards, by maker, board number and edition. (transfer full) GPtrArray of BlBoardRow */
GPtrArray *bl_library_boards (BlLibrary *library, gboolean provisional_too, GError **error);

/* Adds a board, giving it a uid when it has none. Returns its id, 0 on error. */
gint64
bl_library_add_board (BlLibrary *library, BlBoard *board, gboolean provisional, GError **error);
gboolean
bl_library_save_board (BlLibrary *library, gint64 id, const BlBoard *board, GError **error);
BlBoard *bl_library_load_board (BlLibrary *library, gint64 id, GError **error);
gboolean
bl_library_set_provisional (BlLibrary *library, gint64 id, gboolean provisional, GError **error);
/* Refused with BL_STORE_ERROR_INVALID while a job belongs to it. As part of a step of undo (bl-library-steps.h) it goes
 * out of sight and its uid is free again; otherwise it is gone. */
gboolean bl_library_delete_board (BlLibrary *library, gint64 id, GError **error);

/* --- photos: of a board (by BlPhoto id) or of a job --- */

/* image: the file as it came; mime "image/jpeg" ...; thumbnail: a small PNG or JPEG or NULL. */
gboolean bl_library_put_board_photo (BlLibrary *library,
                                     gint64 board,
                                     const char *photo,
                                     const char *mime,
                                     GBytes *image,
                                     GBytes *thumbnail,
                                     GError **error);
/* (transfer full); mime (transfer full) may be NULL. BL_STORE_ERROR_NOT_FOUND when there is none.
 */
GBytes *bl_library_get_board_photo (BlLibrary *library,
                                    gint64 board,
                                    const char *photo,
                                    char **mime,
                                    GError **error);
/* The same where a photo may have no picture: *image NULL, which is no error. image: (transfer full). */
gboolean bl_library_find_board_photo (BlLibrary *library,
                                      gint64 board,
                                      const char *photo,
                                      GBytes **image,
                                      GError **error);
GBytes *bl_library_get_board_thumbnail (BlLibrary *library, gint64 board, GError **error);

typedef struct
{
  gint64 id, job, time;
  char *title, *mime;
  char *side; /* "front" or "back"; NULL: not said */
} BlJobPhoto;
void bl_job_photo_free (BlJobPhoto *photo);
gint64 bl_library_add_job_photo (BlLibrary *library,
                                 gint64 job,
                                 const char *title,
                                 const char *mime,
                                 GBytes *image,
                                 GError **error);
GPtrArray *bl_library_job_photos (BlLibrary *library, gint64 job, GError **error); /* BlJobPhoto */
GBytes *bl_library_get_job_photo (BlLibrary *library, gint64 id, char **mime, GError **error);

/* --- jobs --- */

/* Where a job stands between taking in and handing back. */
typedef enum
{
  BL_JOB_WAITING,
  BL_JOB_ON_THE_BENCH,
  BL_JOB_WAITING_FOR_PARTS,
  BL_JOB_PROVING,
  BL_JOB_HANDED_BACK,
  BL_JOB_NOT_ECONOMICAL,
  BL_JOB_RETURNED, /* handed back once, and a later job is about its coming back */
  BL_N_JOB_STATES
} BlJobState;
/* "on the bench": as files have it; NULL beyond the last. */
const char *bl_job_state_name (BlJobState state);
gboolean bl_job_state_parse (const char *name, BlJobState *state);
/* Handed back, not economical, returned: nothing more is done in it. */
gboolean bl_job_state_is_closed (BlJobState state);

typedef struct
{
  gint64 id;
  char *uid;        /* the same job in the library of another bench; NULL: given one when it is added */
  int number;       /* the shop's own, rising */
  gint64 board;     /* id of the board; 0: it is about an equipment ... */
  gint64 equipment; /* ... with this id; 0: about a board */
  char *customer, *unit, *serial, *complaint;
  char *came_with;  /* what came with it */
  char *board_name; /* filled on reading: board number and edition, or the equipment's title */
  char *cause;      /* confirmed cause, "K1: contact does not make", when closed */
  BlJobState state;
  gboolean closed;  /* as the state says; see bl_job_set_state () */
  gint64 return_of; /* id of the job it comes back from; 0: none */
  gint64 part_of;   /* id of the job it was begun from, an equipment's; 0: none */
  gint64 created, changed;
  gint64 handed_back; /* when it was closed; 0: it is not */
} BlJob;
/* Sets state, closed and handed_back of the head, which is saved by the caller. */
void bl_job_set_state (BlJob *job, BlJobState state);
/* On the bench until said otherwise. (transfer full) */
BlJob *bl_job_new (void);
void bl_job_free (BlJob *job);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJob, bl_job_free)
GPtrArray *bl_library_jobs (BlLibrary *library, GError **error); /* BlJob, newest first */
BlJob *bl_library_load_job (BlLibrary *library, gint64 id, GError **error);
/* Adds a job (number 0: the next one). Returns its id, 0 on error. */
gint64 bl_library_add_job (BlLibrary *library, BlJob *job, GError **error);
gboolean bl_library_save_job (BlLibrary *library, const BlJob *job, GError **error);

/* --- bench log: append-only --- */

typedef enum
{
  BL_RECORD_READING,   /* subject: measurement; text: as typed */
  BL_RECORD_PART_TEST, /* subject: component; text: "good" or a mode */
  BL_RECORD_REPLACED,  /* subject: component; text: what it was replaced by */
  BL_RECORD_ROUND,     /* text: condition */
  BL_RECORD_SYMPTOM,   /* subject: symptom; text: yes or no */
  BL_RECORD_STATE,     /* subject: board state entered */
  BL_RECORD_PROOF,     /* proof of dead taken; subject: measurement or NULL; text: what was read */
  BL_RECORD_METER,     /* the meter from now on; text: its accuracy, or (subject: its number) the name of one of
                          the shop's */
  BL_RECORD_MARK,      /* text: burn, corrosion, lifted leg ...; photo, x, y */
  BL_RECORD_NOTE,      /* text */
  BL_RECORD_CAUSE,     /* subject: component confirmed to be a cause of the fault; text: its mode, NULL:
                          not known */
  BL_RECORD_NO_CAUSE,  /* subject: component that was suspected, or replaced, and was not it */
  BL_RECORD_TIME,      /* text: minutes spent, as a number with a point; subject: what for, or NULL */
  BL_RECORD_PHOTO,     /* a photo was added; subject: "job:ID"; text: its title */
  BL_RECORD_TEST,      /* after the repair; subject: "functional:ID", "soak", "safety:ID"; text: what was found, with
                          expected, band and verdict as in a reading where there is a value */
  BL_RECORD_SUPPLY,    /* before power was applied; subject: the state; text: what it was fed by, or what was asked
                          and answered */
  BL_RECORD_JOB        /* subject: the job's state before; text: the one it was given */
} BlRecordKind;

typedef struct
{
  gint64 id, job, time; /* UTC, microseconds */
  char *uid;            /* the same line in the library of another bench; NULL: given one when it is appended */
  BlRecordKind kind;
  char *subject, *text;
  char *state, *black, *meter; /* READING: what it was taken with */
  double misread;              /* READING: NAN unless 'told by' */
  char *told_by;               /* READING: who read it, when it was somebody else elsewhere */
  char *expected;              /* READING: the expected value as it was shown */
  BlBand *band;                /* READING: what it was judged by; NULL: nothing */
  BlVerdict *verdict;          /* READING: the verdict it was given */
  gboolean unproven;           /* READING: taken in an unpowered state without proof of dead */
  char *old, *why;             /* REPLACED: what was taken out, and why; why of a READING: what is to be said against
                                  it, BL_STATE_OVER */
  char *photo;                 /* MARK: "job:ID" or a photo id of the board; x, y in its pixels */
  double x, y;
  gboolean struck; /* struck later; never deleted */
  gint64 struck_time;
  gint64 restored_time; /* 0: it was never struck */
  char *struck_reason;
} BlRecord;
/* A reading that was taken after its state had ended by itself, on the clock. */
#define BL_STATE_OVER "state over"
BlRecord *bl_record_new (BlRecordKind kind, const char *subject, const char *text);
void bl_record_free (BlRecord *record);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlRecord, bl_record_free)

/* "no cause": as files have it. */
const char *bl_record_kind_name (BlRecordKind kind);
gboolean bl_record_kind_parse (const char *name, BlRecordKind *kind);

/* Appends record (its job set), giving it id and, when 0, time. */
gboolean bl_library_append (BlLibrary *library, BlRecord *record, GError **error);
/* The same for n of them, all or none. */
gboolean bl_library_append_all (BlLibrary *library, BlRecord *const *records, guint n, GError **error);
/* Strikes a record; restoring it is a second line in the same log, not a deletion. */
gboolean bl_library_strike (BlLibrary *library,
                            gint64 record,
                            gboolean strike,
                            const char *reason,
                            GError **error);
/* All records of a job in order of time. (transfer full) GPtrArray of BlRecord */
GPtrArray *bl_library_records (BlLibrary *library, gint64 job, GError **error);

/* Jobs in whose logs each of these words stands, or one that begins so, in any line but readings; struck lines too. Letters
 * with and without accents are alike. Returns a table of job id (gint64 *) to the newest line with the last of the words
 * (char *), NULL with error. (transfer full) */
GHashTable *bl_library_find_in_logs (BlLibrary *library, const char *words, GError **error);

/* --- what repairs found --- */

/* Causes confirmed in the jobs of a board, in order of time: what was said last about a component in a
 * job counts, unless it was struck. except: a job left out, since it must not speak for itself; 0: none.
 * No customer is in it. (transfer full) GPtrArray of BlFoundCause */
GPtrArray *bl_library_causes (BlLibrary *library, gint64 board, gint64 except, GError **error);
/* ... of those of its jobs in which this symptom was seen; NULL: of all. */
GPtrArray *bl_library_causes_with (BlLibrary *library, gint64 board, gint64 except, const char *symptom, GError **error);

/* How many confirmed causes the document's own weights count as for this board; NAN in *strength: nobody
 * said. set: above 0, or NAN to take it back. */
gboolean bl_library_get_strength (BlLibrary *library, gint64 board, double *strength, GError **error);
gboolean bl_library_set_strength (BlLibrary *library, gint64 board, double strength, GError **error);

/* --- the checklist --- */

/* A thing of the checklist that does not apply to a board, or does again. */
gboolean bl_library_set_aside (BlLibrary *library, gint64 board, const char *thing, gboolean aside, GError **error);
/* Those of a board: a set of strings. (transfer full) */
GHashTable *bl_library_things_aside (BlLibrary *library, gint64 board, GError **error);

/* --- the shop's meters --- */

/* Those in use, in the order they were added. (transfer full) GPtrArray of BlShopMeter */
GPtrArray *bl_library_meters (BlLibrary *library, GError **error);
/* One of them, a removed one too: jobs that were measured with it still name it. (transfer full) */
BlShopMeter *bl_library_load_meter (BlLibrary *library, gint64 id, gboolean *removed, GError **error);
/* Adds a meter (id 0, which it is given) or saves it; a removed one is in use again. */
gboolean bl_library_put_meter (BlLibrary *library, BlShopMeter *meter, GError **error);
/* Takes it out of use, which is never refused: readings keep the accuracy that they were taken with. */
gboolean bl_library_delete_meter (BlLibrary *library, gint64 id, GError **error);
/* The meter that new jobs begin with; 0: none. */
gboolean bl_library_get_usual_meter (BlLibrary *library, gint64 *id, GError **error);
gboolean bl_library_set_usual_meter (BlLibrary *library, gint64 id, GError **error);

/* Id of the board with this uid; 0: none, or an error. */
gint64 bl_library_find_board (BlLibrary *library, const char *uid, GError **error);

/* The records that are evidence (READING, PART_TEST, REPLACED, ROUND, SYMPTOM, not struck) as
 * entries. (transfer full) GPtrArray of BlEntry */
GPtrArray *bl_records_to_entries (GPtrArray *records);

G_END_DECLS
