/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"
#include "bl-safe-limits.h"

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
  BL_REPORT_NO_CAUSE,  /* subject: component that was not it */
  BL_REPORT_TIME,      /* text: minutes, with a point; subject: what for, or NULL */
  BL_REPORT_PHOTO,     /* text: title of a photo that was added */
  BL_REPORT_TEST,      /* after the repair; subject: "functional:ID", "soak", "safety:ID"; text: what was found */
  BL_REPORT_SUPPLY,    /* subject: board state; text: what it was fed by */
  BL_REPORT_JOB        /* text: the state that the job was given, in words */
} BlReportKind;

typedef struct
{
  BlReportKind kind;
  gint64 time; /* UTC, microseconds since 1970 */
  char *subject, *text;
  char *state, *meter, *expected; /* READING; expected: TEST too, as are the next two */
  BlBand *band;                   /* READING: what it was judged by, or NULL */
  BlVerdict *verdict;             /* READING, or NULL */
  char *told_by;                  /* READING: who read it elsewhere, or NULL */
  char *old, *why;                /* REPLACED: what was taken out, and why, or NULL */
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
  char *id;      /* "job:12", as the marks on it call it, or NULL */
  char *title;
  GBytes *image; /* the file as it came */
} BlReportPicture;
void bl_report_picture_free (BlReportPicture *picture);

/* A meter that readings of the job were taken with. */
typedef struct
{
  char *name;
  gint64 calibrated; /* UTC, microseconds; 0: not known */
} BlReportMeter;
void bl_report_meter_free (BlReportMeter *meter);

/* How things stood after an entry. */
typedef struct
{
  guint entry;     /* place in entries */
  guint round;     /* that it belongs to, from 1 */
  char *advised;   /* the measurement that was the first to be taken before it; NULL: none, or not asked */
  guint rank;      /* which place the one taken had in that advice, from 1; 0: it was not in it */
  double *odds;    /* of each name of step_names */
  double elsewhere, remaining;
} BlReportStep;
void bl_report_step_free (BlReportStep *step);

/* Who it is for: the customer gets plain words on a page or two, the shop everything. */
typedef enum
{
  BL_REPORT_FOR_SHOP,
  BL_REPORT_FOR_CUSTOMER
} BlReportAudience;

typedef enum
{
  BL_REPORT_A4,
  BL_REPORT_LETTER
} BlReportPaper;
/* Width and height in points of 1/72 inch: ISO 216 (210 mm by 297 mm), ANSI/ASME Y14.1 (8.5 in by 11 in). */
void bl_report_paper_size (BlReportPaper paper, double *width, double *height);
/* "shop" or "customer", "a4" or "letter", case does not matter. FALSE: neither. */
gboolean bl_report_audience_parse (const char *name, BlReportAudience *audience);
gboolean bl_report_paper_parse (const char *name, BlReportPaper *paper);
/* The paper that is usual where the locale is from. */
BlReportPaper bl_report_paper_usual (void);

/* What a job's report is made from; everything is owned. Text left out is NULL. */
typedef struct
{
  BlReportAudience audience;
  BlReportPaper paper;
  char *shop_name, *shop_address; /* the shop's own words: head ... */
  char *shop_foot, *shop_warranty; /* ... foot of each page, and what is said of warranty and returns */
  BlSafeLimits limits;            /* what the shop takes for dangerous; BL_SAFE_LIMITS until somebody says */
  int number;
  gboolean closed;
  char *state;            /* of the job, in words */
  int return_of, part_of; /* numbers of the jobs it comes back from, and belongs to; 0: none */
  char *gone_on;          /* numbers of the jobs on single boards of the equipment that belong to it; NULL: none */
  gint64 handed_back;     /* UTC, microseconds; 0: it is not */
  char *came_with;        /* what came with it */
  char *equipment;        /* title of the equipment that board was joined from; NULL: it is one board */
  GPtrArray *meters;      /* BlReportMeter */
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
  GPtrArray *steps;       /* BlReportStep of each entry, as far as they were asked for */
  char **step_names;      /* components that the odds of a step are of; NULL: no steps */
  guint steps_left_out;   /* entries at the end of which no step was computed, to save time */
  guint advice_left_out;  /* readings before which no advice was computed, for the same reason */
} BlJobReport;
BlJobReport *bl_job_report_new (void);
void bl_job_report_free (BlJobReport *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobReport, bl_job_report_free)

/* Odds of entries on the board, or on the weighed one where there is one, into diagnosis or trouble; neither without
 * entries or stages. Touches nothing but the report, so any thread may do it. cancel: as of bl_engine_diagnose (), or
 * NULL. */
void bl_job_report_compute (BlJobReport *self, const int *cancel);

/* Fills steps: the odds after each entry, and what was advised before it. It takes a minute and a half at most;
 * what would take longer is left out and counted. */
void bl_job_report_steps (BlJobReport *self, const int *cancel);

G_END_DECLS
