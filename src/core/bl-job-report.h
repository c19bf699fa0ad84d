/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"

G_BEGIN_DECLS

/* A line of the bench log as the report shows it. */
typedef enum
{
  BL_REPORT_READING,   /* subject: measurement; text: as typed */
  BL_REPORT_PART_TEST, /* subject: component; text: "good" or a mode */
  BL_REPORT_REPLACED,  /* subject: component; text: by what */
  BL_REPORT_ROUND,     /* text: condition */
  BL_REPORT_SYMPTOM,   /* subject: symptom; text: yes or no */
  BL_REPORT_STATE,     /* subject: board state */
  BL_REPORT_PROOF,     /* text: what was read */
  BL_REPORT_METER,     /* text: accuracy */
  BL_REPORT_MARK,      /* text; photo, x, y */
  BL_REPORT_NOTE,      /* text */
  BL_REPORT_CAUSE,     /* subject: component confirmed as a cause; text: its mode or NULL */
  BL_REPORT_NO_CAUSE   /* subject: component that was not it */
} BlReportKind;

typedef struct
{
  BlReportKind kind;
  gint64 time; /* UTC, microseconds since 1970 */
  char *subject, *text;
  char *state, *meter, *expected; /* READING */
  BlBand *band;                   /* READING: what it was judged by, or NULL */
  BlVerdict *verdict;             /* READING, or NULL */
  char *from;                     /* READING: where its band comes from, in few words, or NULL */
  gboolean unproven;              /* READING: taken in an unpowered state without proof of dead */
  char *photo;                    /* MARK: a photo of the board */
  double x, y;
  gboolean struck;
  char *struck_reason;
} BlReportLine;
BlReportLine *bl_report_line_new (BlReportKind kind, const char *subject, const char *text);
void bl_report_line_free (BlReportLine *line);

/* A picture taken for this job. */
typedef struct
{
  char *title;
  GBytes *image; /* the file as it came */
} BlReportPicture;
void bl_report_picture_free (BlReportPicture *picture);

/* What a job's report is made from; everything is owned. Text left out is NULL. */
typedef struct
{
  int number;
  gboolean closed;
  gint64 created, printed; /* UTC, microseconds; printed 0: now */
  char *customer, *unit, *serial, *complaint, *cause;
  BlBoard *board;
  BlBoard *weighed;       /* the board with weights learned from other repairs; NULL: as documented */
  guint repairs;          /* those repairs, of this edition and with a confirmed cause */
  GHashTable *photos;     /* photo id of the board -> GBytes, the file as it came */
  GPtrArray *pictures;    /* BlReportPicture of the job */
  GPtrArray *lines;       /* BlReportLine in order of time, struck ones too */
  GPtrArray *entries;     /* BlEntry, the evidence among the lines that the board still knows */
  BlDiagnosis *diagnosis; /* NULL: no odds */
  char *trouble;          /* why there are none, or NULL */
} BlJobReport;
BlJobReport *bl_job_report_new (void);
void bl_job_report_free (BlJobReport *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobReport, bl_job_report_free)

/* Odds of entries on the board, or on the weighed one where there is one, into diagnosis or trouble; neither without
 * entries or stages. Touches nothing but the report, so any thread may do it. cancel: as of bl_engine_diagnose (), or
 * NULL. */
void bl_job_report_compute (BlJobReport *self, const int *cancel);

G_END_DECLS
