/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where things of a board are on its photos, and whether a press means them. All of it is looked for in the document
 * each time: a board has some hundred places, and a press is answered in microseconds. */
#include "config.h"

#include "bl-quiz-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define POINT_MM 4.0     /* own choice: the tip of a probe and a pad */
#define COMPONENT_MM 8.0 /* own choice: half of a relay */
#define MM_OF_DIAGONAL 200.0 /* without a scale a board counts as so long from corner to corner */

/* --- names and sections --- */

static char *
with_words (const char *id, const char *words)
{
  return words != NULL && *words != '\0' ? g_strdup_printf ("%s, %s", id, words) : g_strdup (id);
}

/* "film capacitor" for capacitor.film, as one says it. */
static char *
kind_words (const char *kind)
{
  const char *dot = strchr (kind, '.');
  g_autofree char *wide = dot != NULL ? g_strndup (kind, (gsize) (dot - kind)) : NULL;

  return wide != NULL ? g_strdup_printf ("%s %s", dot + 1, g_str_equal (wide, "ic") ? "IC" : wide) : g_strdup (kind);
}

static char *
component_name (const BlComponent *component)
{
  if (component->title != NULL && *component->title != '\0')
    return with_words (component->id, component->title);
  g_autofree char *kind = component->kind != NULL ? kind_words (component->kind) : NULL;
  if (kind != NULL && component->value != NULL && *component->value != '\0')
    return g_strdup_printf ("%s, %s %s", component->id, kind, component->value);
  return with_words (component->id, kind);
}

static const char *
or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

char *
bl_quiz_name (const BlBoard *board, BlQuizOf of, const char *id)
{
  g_return_val_if_fail (board != NULL && id != NULL, NULL);
  const BlSection *section = of == BL_QUIZ_SECTION ? bl_board_section (board, id) : NULL;
  const BlStage *stage = of == BL_QUIZ_STAGE ? bl_board_stage (board, id) : NULL;
  const BlComponent *component = of == BL_QUIZ_COMPONENT ? bl_board_component (board, id) : NULL;
  const BlTestPoint *point = of == BL_QUIZ_POINT ? bl_board_test_point (board, id) : NULL;
  const BlMeasurement *measurement = of == BL_QUIZ_MEASUREMENT ? bl_board_measurement (board, id) : NULL;

  if (section != NULL)
    return g_strdup (or_id (section->title, id));
  if (stage != NULL)
    return g_strdup (or_id (stage->title, id));
  if (component != NULL)
    return component_name (component);
  if (point != NULL)
    return with_words (id, point->title);
  return with_words (measurement != NULL && measurement->at != NULL ? measurement->at : id,
                     measurement != NULL ? measurement->title : NULL);
}

static const BlSection *
section_of_stage (const BlBoard *board, const char *id)
{
  const BlStage *stage = id != NULL ? bl_board_stage (board, id) : NULL;
  return stage != NULL && stage->section != NULL ? bl_board_section (board, stage->section) : NULL;
}

/* That of a stage which is measured there, else the one whose outline it lies in. */
static const BlSection *
section_of_point (const BlBoard *board, const char *id)
{
  const BlTestPoint *point = bl_board_test_point (board, id);

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      const BlSection *section = g_strcmp0 (measurement->at, id) == 0 ? section_of_stage (board, measurement->reads) : NULL;
      if (section != NULL)
        return section;
    }
  if (point == NULL || point->photo == NULL)
    return NULL;
  const char *around = bl_quiz_around (board, BL_QUIZ_SECTION, point->photo, point->x, point->y);
  return around != NULL ? bl_board_section (board, around) : NULL;
}

const BlSection *
bl_quiz_section (const BlBoard *board, BlQuizOf of, const char *id)
{
  const BlComponent *component;
  const BlMeasurement *measurement;
  const BlSection *section;

  switch (of)
    {
    case BL_QUIZ_SECTION:
      return bl_board_section (board, id);
    case BL_QUIZ_STAGE:
      return section_of_stage (board, id);
    case BL_QUIZ_COMPONENT:
      component = bl_board_component (board, id);
      return component != NULL ? section_of_stage (board, component->stage) : NULL;
    case BL_QUIZ_POINT:
      return section_of_point (board, id);
    case BL_QUIZ_MEASUREMENT:
    default:
      measurement = bl_board_measurement (board, id);
      section = measurement != NULL ? section_of_stage (board, measurement->reads) : NULL;
      if (section == NULL && measurement != NULL && measurement->at != NULL)
        section = section_of_point (board, measurement->at);
      return section;
    }
}

const char *
bl_quiz_topic (const BlBoard *board, BlQuizOf of, const char *id)
{
  g_return_val_if_fail (board != NULL && id != NULL, NULL);
  const BlSection *section = bl_quiz_section (board, of, id);
  return section != NULL ? section->kind : NULL;
}

/* --- outlines --- */

/* Even-odd. */
static gboolean
contains (const GArray *points, double x, double y)
{
  gboolean inside = FALSE;
  guint n = points->len / 2;

  for (guint i = 0, j = n - 1; i < n; j = i++)
    {
      double x0 = g_array_index (points, double, 2 * i), y0 = g_array_index (points, double, 2 * i + 1);
      double x1 = g_array_index (points, double, 2 * j), y1 = g_array_index (points, double, 2 * j + 1);
      if ((y0 > y) != (y1 > y) && x < x0 + (x1 - x0) * (y - y0) / (y1 - y0))
        inside = !inside;
    }
  return inside;
}

static double
area (const GArray *points)
{
  double sum = 0;
  guint n = points->len / 2;

  for (guint i = 0, j = n - 1; i < n; j = i++)
    sum += g_array_index (points, double, 2 * j) * g_array_index (points, double, 2 * i + 1)
           - g_array_index (points, double, 2 * i) * g_array_index (points, double, 2 * j + 1);
  return fabs (sum) / 2;
}

/* From a place to the nearest edge, px. */
static double
to_edge (const GArray *points, double x, double y)
{
  double least = INFINITY;
  guint n = points->len / 2;

  for (guint i = 0, j = n - 1; i < n; j = i++)
    {
      double x0 = g_array_index (points, double, 2 * j), y0 = g_array_index (points, double, 2 * j + 1);
      double dx = g_array_index (points, double, 2 * i) - x0, dy = g_array_index (points, double, 2 * i + 1) - y0;
      double length = dx * dx + dy * dy;
      double t = length > 0 ? CLAMP (((x - x0) * dx + (y - y0) * dy) / length, 0, 1) : 0;
      least = MIN (least, hypot (x - x0 - t * dx, y - y0 - t * dy));
    }
  return least;
}

/* Outlines of a section or stage on a photo (NULL: on any); a section without any has those of its stages.
 * (transfer container) GPtrArray of BlOutline */
static GPtrArray *
outlines_of (const BlBoard *board, BlQuizOf of, const char *id, const char *photo)
{
  GPtrArray *found = g_ptr_array_new ();
  const BlSection *section = of == BL_QUIZ_SECTION ? bl_board_section (board, id) : NULL;
  const BlStage *stage = of == BL_QUIZ_STAGE ? bl_board_stage (board, id) : NULL;
  gboolean own = stage != NULL || (section != NULL && bl_len (section->outlines) > 0);
  const GPtrArray *outlines = stage != NULL ? stage->outlines : section != NULL ? section->outlines : NULL;

  for (guint i = 0; own && i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      if (outline->points != NULL && outline->points->len >= 6
          && (photo == NULL || g_strcmp0 (outline->photo, photo) == 0))
        g_ptr_array_add (found, (gpointer) outline);
    }
  for (guint i = 0; !own && section != NULL && i < bl_len (board->stages); i++)
    {
      const BlStage *part = bl_at (board->stages, i);
      if (g_strcmp0 (part->section, id) != 0)
        continue;
      g_autoptr (GPtrArray) more = outlines_of (board, BL_QUIZ_STAGE, part->id, photo);
      g_ptr_array_extend (found, more, NULL, NULL);
    }
  return found;
}

const char *
bl_quiz_around (const BlBoard *board, BlQuizOf of, const char *photo, double x, double y)
{
  const GPtrArray *list = bl_quiz_list (board, of);
  const char *around = NULL;
  double least = INFINITY;

  for (guint i = 0; i < bl_len (list); i++)
    {
      const char *id = bl_quiz_id_at (board, of, i);
      g_autoptr (GPtrArray) outlines = outlines_of (board, of, id, photo);
      for (guint j = 0; j < outlines->len; j++)
        {
          const BlOutline *outline = bl_at (outlines, j);
          if (!contains (outline->points, x, y) || area (outline->points) >= least)
            continue;
          least = area (outline->points);
          around = id;
        }
    }
  return around;
}

/* --- places --- */

static gboolean
place_of (const BlBoard *board, BlQuizOf of, const char *id, const char **photo, double *x, double *y)
{
  const BlComponent *component = of == BL_QUIZ_COMPONENT ? bl_board_component (board, id) : NULL;
  const BlTestPoint *point = of == BL_QUIZ_POINT ? bl_board_test_point (board, id) : NULL;

  if (component != NULL)
    {
      *photo = component->photo;
      *x = component->x;
      *y = component->y;
    }
  else if (point != NULL)
    {
      *photo = point->photo;
      *x = point->x;
      *y = point->y;
    }
  else
    return FALSE;
  return *photo != NULL && !isnan (*x) && !isnan (*y) && bl_board_photo (board, *photo) != NULL;
}

gboolean
bl_quiz_where (const BlBoard *board, BlQuizOf of, const char *id, const char *photo, BlQuizWhere *where)
{
  g_return_val_if_fail (board != NULL && id != NULL && where != NULL, FALSE);
  memset (where, 0, sizeof *where);
  if (of == BL_QUIZ_MEASUREMENT)
    {
      const BlMeasurement *measurement = bl_board_measurement (board, id);
      return measurement != NULL && measurement->at != NULL
             && bl_quiz_where (board, BL_QUIZ_POINT, measurement->at, photo, where);
    }
  if (of == BL_QUIZ_COMPONENT || of == BL_QUIZ_POINT)
    return place_of (board, of, id, &where->photo, &where->x, &where->y);
  g_autoptr (GPtrArray) here = outlines_of (board, of, id, photo), any = outlines_of (board, of, id, NULL);
  const BlOutline *outline = here->len > 0 ? bl_at (here, 0) : any->len > 0 ? bl_at (any, 0) : NULL;
  if (outline == NULL || bl_board_photo (board, outline->photo) == NULL)
    return FALSE;
  where->photo = outline->photo;
  where->outline = outline->points;
  return TRUE;
}

/* Diagonal of what is placed on a photo, px. */
static double
diagonal (const BlBoard *board, const char *photo)
{
  double x0 = INFINITY, y0 = INFINITY, x1 = -INFINITY, y1 = -INFINITY;

  for (int of = BL_QUIZ_COMPONENT; of <= BL_QUIZ_POINT; of++)
    for (guint i = 0; i < bl_len (bl_quiz_list (board, of)); i++)
      {
        const char *on = NULL;
        double x, y;
        if (!place_of (board, of, bl_quiz_id_at (board, of, i), &on, &x, &y) || g_strcmp0 (on, photo) != 0)
          continue;
        x0 = MIN (x0, x);
        y0 = MIN (y0, y);
        x1 = MAX (x1, x);
        y1 = MAX (y1, y);
      }
  return x1 > x0 || y1 > y0 ? hypot (x1 - x0, y1 - y0) : 1000;
}

double
bl_quiz_reach (const BlBoard *board, BlQuizOf of, const char *photo)
{
  g_return_val_if_fail (board != NULL && photo != NULL, 0);
  const BlPhoto *shown = bl_board_photo (board, photo);
  double mm = of == BL_QUIZ_COMPONENT ? COMPONENT_MM : POINT_MM;

  if (shown != NULL && shown->mm_per_px > 0)
    return mm / shown->mm_per_px;
  return mm * diagonal (board, photo) / MM_OF_DIAGONAL;
}

/* --- judging a press --- */

/* The nearest of its kind on a photo within reach; *distance: how far, px. */
static const char *
nearest (const BlBoard *board, BlQuizOf of, const char *photo, double x, double y, double *distance)
{
  const char *found = NULL;

  *distance = bl_quiz_reach (board, of, photo);
  for (guint i = 0; i < bl_len (bl_quiz_list (board, of)); i++)
    {
      const char *id = bl_quiz_id_at (board, of, i), *on = NULL;
      double px, py;
      if (!place_of (board, of, id, &on, &px, &py) || g_strcmp0 (on, photo) != 0 || hypot (px - x, py - y) > *distance)
        continue;
      *distance = hypot (px - x, py - y);
      found = id;
    }
  return found;
}

static void
judge_outlined (BlQuizJudgement *self, const BlBoard *board, const BlQuizQuestion *question, const char *photo, double x,
                double y, double scale)
{
  g_autoptr (GPtrArray) outlines = outlines_of (board, question->of, question->id, photo);
  double beside = INFINITY;

  for (guint i = 0; i < outlines->len; i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      beside = contains (outline->points, x, y) ? 0 : MIN (beside, to_edge (outline->points, x, y));
      if (beside == 0)
        break;
    }
  self->other_photo = outlines->len == 0;
  self->beside_mm = outlines->len > 0 ? beside * scale : NAN;
  if (beside == 0)
    self->mark = BL_QUIZ_RIGHT;
  else if (beside <= bl_quiz_reach (board, BL_QUIZ_POINT, photo))
    self->mark = BL_QUIZ_NEAR;
  if (self->mark != BL_QUIZ_RIGHT)
    self->there = g_strdup (bl_quiz_around (board, question->of, photo, x, y));
}

static void
judge_placed (BlQuizJudgement *self, const BlBoard *board, const BlQuizQuestion *question, const char *photo, double x,
              double y, double scale)
{
  double px = NAN, py = NAN, least, reach = bl_quiz_reach (board, question->of, photo);
  const char *on = NULL, *found = nearest (board, question->of, photo, x, y, &least);

  place_of (board, question->of, question->id, &on, &px, &py);
  self->other_photo = g_strcmp0 (on, photo) != 0;
  if (self->other_photo)
    self->beside_mm = NAN;
  else
    {
      double beside = hypot (px - x, py - y);
      self->beside_mm = beside * scale;
      if (beside <= reach && beside <= least)
        self->mark = BL_QUIZ_RIGHT;
      else if (beside <= 2 * reach)
        self->mark = BL_QUIZ_NEAR;
    }
  if (self->mark != BL_QUIZ_RIGHT && g_strcmp0 (found, question->id) != 0)
    self->there = g_strdup (found);
}

BlQuizJudgement *
bl_quiz_judge_place (const BlBoard *board, const BlQuizQuestion *question, const char *photo, double x, double y)
{
  g_return_val_if_fail (board != NULL && question != NULL && photo != NULL, NULL);
  BlQuizJudgement *self = bl_quiz_judgement_new ();
  const BlPhoto *shown = bl_board_photo (board, photo);
  double scale = shown != NULL && shown->mm_per_px > 0 ? shown->mm_per_px : NAN;

  if (question->of == BL_QUIZ_SECTION || question->of == BL_QUIZ_STAGE)
    judge_outlined (self, board, question, photo, x, y, scale);
  else
    judge_placed (self, board, question, photo, x, y, scale);
  return self;
}
