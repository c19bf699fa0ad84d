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
  BL_REPORT_NOTE       /* text */
} BlReportKind;

typedef struct
{
  BlReportKind kind;
  gint64 time; /* UTC, microseconds since 1970 */
  char *subject, *text;
  char *state, *meter, *expected; /* READING */
  BlBand *band;                   /* READING: what it was judged by, or NULL */
  BlVerdict *verdict;             /* READING, or NULL */
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
  GHashTable *photos;     /* photo id of the board -> GBytes, the file as it came */
  GPtrArray *pictures;    /* BlReportPicture of the job */
  GPtrArray *lines;       /* BlReportLine in order of time, struck ones too */
  BlDiagnosis *diagnosis; /* NULL: no odds */
  char *trouble;          /* why there are none, or NULL */
} BlReport;
BlReport *bl_report_new (void);
void bl_report_free (BlReport *report);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlReport, bl_report_free)

/* The report as PDF, A4. n_pages may be NULL. G_IO_ERROR or the error of cairo as
 * BL_CORE_ERROR_INVALID when it cannot be drawn. (transfer full) */
GBytes *bl_report_to_pdf (const BlReport *report, guint *n_pages, GError **error);
/* The same into a file, whole or not at all. */
gboolean bl_report_write_pdf (const BlReport *report, const char *path, GError **error);

/* The word announced for a reading, translated: class names, a mark's own name, "too close to
 * call", "leads swapped?", "not reached", "not judged" without a band. (transfer full) */
char *bl_report_verdict_word (const BlBand *band, const BlVerdict *verdict);

/* "95 %", "<1 %", ">99 %". (transfer full) */
char *bl_report_odds (double probability);

G_END_DECLS
