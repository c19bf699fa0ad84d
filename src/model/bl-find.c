/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Search on a board. Who types K1 means the relay, not the stage whose title has "k1" in it, so matches are
 * ranked by how they match, not by kind. Text is compared without case and accents. Boards have up to some
 * thousand things with a name; each keystroke looks at all of them. A place that nobody has said is
 * looked for at the stage, then at the section, and the answer says so.
 */
#include "config.h"

#include "bl-find.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-designator.h"
#include "bl-format.h"
#include "bl-outline-edit.h"

void
bl_found_free (BlFound *found)
{
  g_free (found->name);
  g_free (found->words);
  g_free (found);
}

/* --- matching --- */

typedef struct
{
  BlFound found; /* first: freed as one */
  int rank;
  guint at; /* in order of the document */
} Hit;

typedef struct
{
  const BlBoard *board;
  char *text;   /* folded */
  char **words; /* folded; an empty one, between two blanks, is in every text */
  GPtrArray *hits;
} Search;

/* Without case, accents and blanks at the ends. (transfer full) */
static char *
fold (const char *text)
{
  g_autofree char *parted = g_utf8_normalize (text, -1, G_NORMALIZE_ALL);
  g_autoptr (GString) plain = g_string_new (NULL);

  for (const char *at = parted; at != NULL && *at != '\0'; at = g_utf8_next_char (at))
    if (!g_unichar_ismark (g_utf8_get_char (at)))
      g_string_append_unichar (plain, g_unichar_tolower (g_utf8_get_char (at)));
  return g_strstrip (g_strdup (plain->str));
}

static gboolean
begins_word (const char *text, const char *word)
{
  for (const char *at = strstr (text, word); at != NULL; at = strstr (at + 1, word))
    if (at == text || ((guchar) at[-1] < 0x80 && !g_ascii_isalnum (at[-1])))
      return TRUE;
  return FALSE;
}

/* How well, 0 best; -1: not at all. */
static int
rank_of (const Search *search, const char *id, const char *title, const char *rest)
{
  g_autofree char *folded = fold (id), *heading = fold (title != NULL ? title : "");
  g_autofree char *more = fold (rest != NULL ? rest : ""), *all = g_strconcat (folded, " ", heading, " ", more, NULL);
  gboolean in_title = TRUE;

  if (g_str_equal (folded, search->text))
    return 0;
  if (g_str_equal (heading, search->text))
    return 1;
  /* "k1" is no beginning of K12: a number that goes on is another number. */
  if (g_str_has_prefix (folded, search->text))
    return g_ascii_isdigit (folded[strlen (search->text)])
               && g_ascii_isdigit (search->text[strlen (search->text) - 1]) ? 3 : 2;
  for (guint i = 0; search->words[i] != NULL; i++)
    {
      if (strstr (all, search->words[i]) == NULL)
        return -1;
      in_title = in_title && begins_word (heading, search->words[i]);
    }
  return in_title ? 4 : 5;
}

/* Takes words. */
static void
consider (Search *search, BlElement element, const char *id, const char *name, const char *title, const char *rest,
          char *words)
{
  int rank = rank_of (search, id, title, rest);

  if (rank < 0)
    {
      g_free (words);
      return;
    }
  Hit *hit = g_new0 (Hit, 1);
  hit->found.ref = bl_ref (element, id);
  hit->found.name = g_strdup (name);
  hit->found.words = words;
  hit->rank = rank;
  hit->at = search->hits->len;
  g_ptr_array_add (search->hits, hit);
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

/* "relay 12 V, in relay driver". */
static char *
component_words (const BlBoard *board, const BlComponent *component)
{
  const BlStage *stage = bl_board_stage (board, component->stage);
  g_autofree char *kind = bl_format_kind (component->kind);
  g_autofree char *what = g_strstrip (g_strdup_printf (
      "%s %s", component->title != NULL && *component->title != '\0' ? component->title : kind,
      component->value != NULL ? component->value : ""));

  if (stage == NULL)
    return g_steal_pointer (&what);
  return component->photo != NULL
           ? g_strdup_printf (_ ("%s, in %s"), what, title_or_id (stage->title, stage->id))
           : g_strdup_printf (_ ("%s, in %s; no place on a photo yet"), what, title_or_id (stage->title, stage->id));
}

static char *
measurement_words (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  const char *own = title_or_id (measurement->title, point != NULL ? title_or_id (point->title, "") : "");
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;
  const char *kind = measurement->measures < BL_N_MEASURES ? _ (bl_measures_name (measurement->measures)) : "";
  const char *in = state != NULL ? title_or_id (state->title, state->id) : "–";

  if (point == NULL)
    return g_strdup_printf (_ ("measurement: %s · %s, %s"), own, kind, in);
  return g_strdup_printf (_ ("measurement at %s: %s · %s, %s"), point->id, own, kind, in);
}

static void
search_structure (Search *search)
{
  const BlBoard *board = search->board;

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      g_autofree char *rest = g_strdup_printf ("%s %s", component->kind != NULL ? component->kind : "",
                                               component->value != NULL ? component->value : "");
      consider (search, BL_ELEMENT_COMPONENT, component->id, component->id, component->title, rest,
                component_words (board, component));
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      const BlSection *section = bl_board_section (board, stage->section);
      consider (search, BL_ELEMENT_STAGE, stage->id, title_or_id (stage->title, stage->id), stage->title, NULL,
                g_strdup_printf (_ ("stage of %s"),
                                 section != NULL ? title_or_id (section->title, section->id) : stage->section));
    }
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      consider (search, BL_ELEMENT_SECTION, section->id, title_or_id (section->title, section->id), section->title,
                section->kind, g_strdup (_ ("section")));
    }
}

static void
search_points (Search *search)
{
  const BlBoard *board = search->board;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      const char *title = title_or_id (point->title, _ ("test point"));
      consider (search, BL_ELEMENT_TEST_POINT, point->id, point->id, point->title, NULL,
                point->photo != NULL ? g_strdup (title)
                                     : g_strdup_printf (_ ("%s; no place on a photo yet"), title));
    }
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      consider (search, BL_ELEMENT_MEASUREMENT, measurement->id, measurement->id, measurement->title, measurement->at,
                measurement_words (board, measurement));
    }
}

static int
by_rank (gconstpointer a, gconstpointer b)
{
  const Hit *first = *(const Hit *const *) a, *second = *(const Hit *const *) b;
  int order;

  if (first->rank != second->rank)
    return first->rank - second->rank;
  order = bl_designator_compare (first->found.name, second->found.name);
  return order != 0 ? order : (first->at > second->at) - (first->at < second->at);
}

GPtrArray *
bl_find (const BlBoard *board, const char *text, guint most)
{
  g_return_val_if_fail (board != NULL && text != NULL, NULL);
  GPtrArray *hits = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_found_free);
  Search search = { .board = board, .text = fold (text), .hits = hits };

  if (*search.text != '\0')
    {
      search.words = g_strsplit_set (search.text, " \t", -1);
      search_points (&search);
      search_structure (&search);
      g_ptr_array_sort (hits, by_rank);
      if (hits->len > most)
        g_ptr_array_set_size (hits, (int) most);
    }
  g_strfreev (search.words);
  g_free (search.text);
  return hits;
}

/* --- where it is --- */

static gboolean
at_place (const char *photo, double x, double y, const BlRef *of, BlWhere *where)
{
  if (photo == NULL || isnan (x) || isnan (y))
    return FALSE;
  *where = (BlWhere){ photo, x, y, x, y, *of };
  return TRUE;
}

/* The box round a thing's outlines on one photo: the shown one, else that of the first outline. */
static gboolean
at_outlines (const GPtrArray *outlines, const char *shown, const BlRef *of, BlWhere *where)
{
  const char *photo = NULL;

  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      if (outline->points == NULL || outline->points->len < 6)
        continue;
      if (photo == NULL || g_strcmp0 (outline->photo, shown) == 0)
        photo = outline->photo;
    }
  if (photo == NULL)
    return FALSE;
  *where = (BlWhere){ photo, INFINITY, INFINITY, -INFINITY, -INFINITY, *of };
  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      for (guint k = 0; g_strcmp0 (outline->photo, photo) == 0 && outline->points != NULL
                        && k + 1 < outline->points->len; k += 2)
        {
          double x = g_array_index (outline->points, double, k), y = g_array_index (outline->points, double, k + 1);
          where->x0 = fmin (where->x0, x);
          where->x1 = fmax (where->x1, x);
          where->y0 = fmin (where->y0, y);
          where->y1 = fmax (where->y1, y);
        }
    }
  return TRUE;
}

static gboolean
where_stage (const BlBoard *board, const char *id, const char *shown, BlWhere *where)
{
  const BlStage *stage = id != NULL ? bl_board_stage (board, id) : NULL;
  const BlSection *section = stage != NULL ? bl_board_section (board, stage->section) : NULL;
  BlRef ref = bl_ref (BL_ELEMENT_STAGE, id);

  if (stage == NULL)
    return FALSE;
  if (at_outlines (stage->outlines, shown, &ref, where))
    return TRUE;
  /* Its first placed part is nearer to it than the whole section. */
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      BlRef part = bl_ref (BL_ELEMENT_COMPONENT, component->id);
      if (g_strcmp0 (component->stage, id) == 0
          && at_place (component->photo, component->x, component->y, &part, where))
        return TRUE;
    }
  ref = bl_ref (BL_ELEMENT_SECTION, stage->section);
  return section != NULL && at_outlines (section->outlines, shown, &ref, where);
}

static gboolean
where_section (const BlBoard *board, const char *id, const char *shown, BlWhere *where)
{
  const BlSection *section = bl_board_section (board, id);
  BlRef ref = bl_ref (BL_ELEMENT_SECTION, id);

  if (section != NULL && at_outlines (section->outlines, shown, &ref, where))
    return TRUE;
  for (guint i = 0; section != NULL && i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      if (g_strcmp0 (stage->section, id) == 0 && where_stage (board, stage->id, shown, where))
        return TRUE;
    }
  return FALSE;
}

gboolean
bl_find_where (const BlBoard *board, const BlRef *ref, const char *shown, BlWhere *where)
{
  g_return_val_if_fail (board != NULL && ref != NULL && where != NULL, FALSE);
  const BlComponent *component;
  const BlTestPoint *point;
  const BlMeasurement *measurement;

  switch (ref->element)
    {
    case BL_ELEMENT_COMPONENT:
      component = bl_board_component (board, ref->id);
      return component != NULL
             && (at_place (component->photo, component->x, component->y, ref, where)
                 || where_stage (board, component->stage, shown, where));
    case BL_ELEMENT_TEST_POINT:
      point = bl_board_test_point (board, ref->id);
      return point != NULL && at_place (point->photo, point->x, point->y, ref, where);
    case BL_ELEMENT_MEASUREMENT:
      measurement = bl_board_measurement (board, ref->id);
      point = measurement != NULL && measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
      if (point != NULL && at_place (point->photo, point->x, point->y, ref, where))
        return TRUE;
      return measurement != NULL && where_stage (board, measurement->reads, shown, where);
    case BL_ELEMENT_STAGE:
      return where_stage (board, ref->id, shown, where);
    case BL_ELEMENT_SECTION:
      return where_section (board, ref->id, shown, where);
    default:
      return FALSE;
    }
}

const BlStage *
bl_find_stage_at (const BlBoard *board, const char *photo, double x, double y)
{
  g_return_val_if_fail (board != NULL, NULL);
  const BlStage *found = NULL;
  double least = INFINITY;

  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      for (guint k = 0; k < bl_len (stage->outlines); k++)
        {
          const BlOutline *outline = bl_at (stage->outlines, k);
          double area;
          if (g_strcmp0 (outline->photo, photo) != 0 || outline->points == NULL
              || !bl_outline_contains (outline->points, x, y))
            continue;
          area = bl_outline_area (outline->points);
          if (area >= least)
            continue;
          least = area;
          found = stage;
        }
    }
  return found;
}
