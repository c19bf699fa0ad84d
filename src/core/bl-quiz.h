/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* Questions about a documented board, drawn by a seed, and what is a right answer: where things are on its photos, what
 * a measurement should read and how it is taken. The same order on the same document asks the same questions on every
 * machine. */

typedef enum
{
  BL_QUIZ_PLACE, /* asked for by name: where is it? A press on a photo. */
  BL_QUIZ_NAME,  /* its place is lit: what is it? */
  BL_QUIZ_STATE, /* of a measurement: in which board state is it taken? */
  BL_QUIZ_METER, /* what does the meter measure? */
  BL_QUIZ_BLACK, /* where is the black probe? */
  BL_QUIZ_VALUE, /* what does a healthy board read? */
  BL_N_QUIZ_KINDS
} BlQuizKind;

typedef enum
{
  BL_QUIZ_SECTION,
  BL_QUIZ_STAGE,
  BL_QUIZ_COMPONENT,
  BL_QUIZ_POINT,
  BL_QUIZ_MEASUREMENT
} BlQuizOf;

typedef struct
{
  char *id;    /* as the document has it; of METER the name of what is measured */
  char *words; /* to be shown: "5 V rail", "TP5, 5 V rail" */
} BlQuizChoice;

typedef struct
{
  BlQuizKind kind;
  BlQuizOf of;
  char *id;           /* of what is asked about */
  char *title;        /* as it is asked for */
  char *topic;        /* kind of the section it belongs to; "": of none */
  char *answer;       /* id of the right choice; NULL: PLACE and VALUE have none */
  GPtrArray *choices; /* BlQuizChoice, the right one among them, in an order that tells nothing; NULL where there are none */
} BlQuizQuestion;
void bl_quiz_question_free (BlQuizQuestion *question);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlQuizQuestion, bl_quiz_question_free)

/* How often a topic is drawn (above 0; 0: never), as bl_weak_share () has it. */
typedef double (*BlQuizWeight) (const char *topic, gpointer data);
typedef struct
{
  const char *const *sections; /* ids: only what belongs to these; NULL or none: anything */
  guint32 seed;
  guint n;                     /* things asked about at most; nothing is asked about twice */
  BlQuizWeight weight;         /* NULL: all alike */
  gpointer data;
} BlQuizOrder;

/* Questions of PLACE and NAME. Empty: nothing has a place on a photo. (transfer full) GPtrArray of BlQuizQuestion */
GPtrArray *bl_quiz_way (const BlBoard *board, const BlQuizOrder *order);
/* Questions about measurements: of each what can be asked, state, meter, black probe and value, one after the other. Where
 * the title fits several measurements at the point ("5 V rail" also "5 V rail, no load"), what differs is not asked but
 * told, and so is what the title gives away ("diode test"); one that nothing tells from another is left out. (transfer
 * full) GPtrArray of BlQuizQuestion */
GPtrArray *bl_quiz_reads (const BlBoard *board, const BlQuizOrder *order);

typedef enum
{
  BL_QUIZ_WRONG,
  BL_QUIZ_NEAR,  /* not right, but within what is close to it */
  BL_QUIZ_RIGHT
} BlQuizMark;

typedef struct
{
  BlQuizMark mark;
  char *there;        /* PLACE: id of what of the kind asked for was pressed instead; NULL: nothing */
  gboolean other_photo; /* PLACE: it is on another photo */
  double beside_mm;   /* PLACE: how far from it; 0: inside its outline; NAN: no scale, or another photo */
  BlBand *band;       /* VALUE: what it was judged by, */
  BlReading reading;  /* what was answered, */
  BlVerdict *verdict; /* and how that would be judged */
} BlQuizJudgement;
/* Nothing was answered, which is not right. (transfer full) */
BlQuizJudgement *bl_quiz_judgement_new (void);
void bl_quiz_judgement_free (BlQuizJudgement *judgement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlQuizJudgement, bl_quiz_judgement_free)

/* How far from a place a press still means it, photo px: 4 mm for a test point and 8 mm for a component where the photo
 * has a scale, else 2 and 4 % of the diagonal of what is placed on it. */
double bl_quiz_reach (const BlBoard *board, BlQuizOf of, const char *photo);

/* A press on a photo. A section or stage is right inside its outline and near within the reach of a test point of it; a
 * section without an outline lies where its stages do. A test point or component is right within its reach when no other
 * of its kind is nearer, and near within twice its reach. (transfer full) */
BlQuizJudgement *bl_quiz_judge_place (const BlBoard *board, const BlQuizQuestion *question, const char *photo, double x,
                                      double y);
/* A choice, by its id. (transfer full) */
BlQuizJudgement *bl_quiz_judge_choice (const BlQuizQuestion *question, const char *id);
/* What was typed instead of chosen: id or words of a choice or title of anything of its kind on the board, in whatever
 * letters; of NAME also the beginning or words of one title, of what is offered before the rest. BL_CORE_ERROR_PARSE:
 * there is no such thing, or several, which is no answer. (transfer full) */
BlQuizJudgement *bl_quiz_judge_typed (const BlBoard *board, const BlQuizQuestion *question, const char *text,
                                      GError **error);
/* A name that may be typed as the answer begins with a digit: "5 V rail". */
gboolean bl_quiz_has_digit_names (const BlBoard *board, const BlQuizQuestion *question);
/* A value: right in the band; near within as much again as the band is wide on both sides, or where there is one limit
 * up to its double and down to its half. BL_CORE_ERROR_PARSE: nothing that a meter shows. (transfer full) */
BlQuizJudgement *bl_quiz_judge_value (const BlBoard *board, const BlQuizQuestion *question, const char *text,
                                      GError **error);

/* Where something is: the photo, and either an outline (of several on this photo the first) or a place. photo: the one
 * preferred, or NULL. FALSE: nobody has said. */
typedef struct
{
  const char *photo;
  GArray *outline; /* double pairs, photo px; NULL: a place */
  double x, y;
} BlQuizWhere;
gboolean bl_quiz_where (const BlBoard *board, BlQuizOf of, const char *id, const char *photo, BlQuizWhere *where);
/* What it is called: "5 V rail", "TP5, 5 V rail" (transfer full) */
char *bl_quiz_name (const BlBoard *board, BlQuizOf of, const char *id);
/* Of a measurement what STATE, METER and BLACK ask for, in words; NULL: the document does not say. (transfer full) */
char *bl_quiz_fact (const BlBoard *board, const char *measurement, BlQuizKind kind);
/* Kind of the section something belongs to; NULL: none. (transfer none) */
const char *bl_quiz_topic (const BlBoard *board, BlQuizOf of, const char *id);

G_END_DECLS
