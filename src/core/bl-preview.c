/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The preview of a failure mode. Classes are the response's, values those of simulated boards; nothing is
 * computed here but which of them are equal. Unlike the coverage, which takes a mode alone, each mode comes with
 * what it most likely brings about: a short that blows its fuse 95 times in 100 is met with the fuse blown.
 *
 * A board of 120 modes and measurements takes some milliseconds, most of them for the boards drawn. */
#include "config.h"

#include "bl-preview.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-response.h"
#include "bl-simulate.h"

#define N_DRAWN 12
#define LIKELY 0.5

static void
row_free (gpointer data)
{
  BlPreviewRow *row = data;

  g_free (row->class_name);
  bl_band_free (row->band);
  g_free (row);
}

static void
along_free (gpointer data)
{
  BlPreviewAlong *along = data;

  g_free (along->component);
  g_free (along->mode);
  g_free (along);
}

static void
near_free (gpointer data)
{
  BlPreviewNear *near = data;

  g_free (near->fault);
  g_free (near->class_name);
  g_free (near);
}

void
bl_preview_free (BlPreview *preview)
{
  if (preview == NULL)
    return;
  g_ptr_array_unref (preview->rows);
  g_ptr_array_unref (preview->along);
  g_ptr_array_unref (preview->alike);
  g_ptr_array_unref (preview->near);
  g_free (preview);
}

typedef struct
{
  const BlBoard *board;
  BlResponse *response;
  guint n_modes, n_measurements, n_links;
  guint8 *asked, *excluded, *active, *likely; /* likely: one a link */
  guint8 *classes, *sound, *other;
} Preview;

/* --- which modes --- */

static int
find_mode (const BlResponse *response, const char *fault)
{
  const char *colon = strchr (fault, ':');
  g_autofree char *component = colon != NULL ? g_strndup (fault, (gsize) (colon - fault)) : NULL;

  return colon != NULL ? bl_response_find (response, component, colon + 1) : -1;
}

static gboolean
set_flags (const Preview *self, const char *const *names, guint8 *flags, GError **error)
{
  for (; names != NULL && *names != NULL; names++)
    {
      int mode = find_mode (self->response, *names);
      if (mode < 0)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no failure mode “%s”"), *names);
          return FALSE;
        }
      flags[mode] = 1;
    }
  return TRUE;
}

/* What is there with these own events. excluded NULL: nothing is. */
static void
spread (const Preview *self, const guint8 *own, const guint8 *excluded, guint8 *active)
{
  const GArray *links = bl_response_links (self->response);
  g_autofree guint8 *fired = g_memdup2 (self->likely, self->n_links + 1);

  for (guint i = 0; excluded != NULL && i < self->n_links; i++)
    if (excluded[g_array_index (links, BlResponseLink, i).to])
      fired[i] = 0;
  bl_response_spread (self->response, own, fired, active);
}

/* The chance of the likeliest way from the modes asked for to each mode: as many rounds as a way can have links. */
static double *
best_ways (const Preview *self)
{
  const GArray *links = bl_response_links (self->response);
  double *best = g_new0 (double, self->n_modes + 1);
  gboolean better = TRUE;

  for (guint i = 0; i < self->n_modes; i++)
    best[i] = self->asked[i];
  for (guint round = 0; better && round < self->n_modes; round++)
    {
      better = FALSE;
      for (guint i = 0; i < self->n_links; i++)
        {
          const BlResponseLink *link = &g_array_index (links, BlResponseLink, i);
          double way = best[link->from] * link->chance;
          if (way > best[link->to])
            {
              best[link->to] = way;
              better = TRUE;
            }
        }
    }
  return best;
}

static void
list_along (const Preview *self, BlPreview *preview)
{
  g_autofree double *best = best_ways (self);

  for (guint i = 0; i < self->n_modes; i++)
    if (!self->asked[i] && best[i] > 0)
      {
        BlPreviewAlong *along = g_new0 (BlPreviewAlong, 1);
        along->component = g_strdup (bl_response_component (self->response, i));
        along->mode = g_strdup (bl_response_mode (self->response, i));
        along->chance = best[i];
        along->there = self->active[i];
        g_ptr_array_add (preview->along, along);
      }
}

/* --- what is read --- */

static void
widen (BlPreviewRow *row, const BlReading *reading)
{
  double low = reading->value, high = reading->kind == BL_READING_RANGE ? reading->high : reading->value;

  row->kind = reading->kind;
  row->answer = reading->answer;
  if (reading->kind != BL_READING_VALUE && reading->kind != BL_READING_RANGE)
    return;
  row->low = isnan (row->low) ? MIN (low, high) : MIN (row->low, MIN (low, high));
  row->high = isnan (row->high) ? MAX (low, high) : MAX (row->high, MAX (low, high));
}

/* Value and band of one board. */
static void
settle_followed (const Preview *self, BlPreviewRow *row, const GPtrArray *entries)
{
  const BlMeasurement *measurement = bl_at (self->board->measurements, row->measurement);
  double followed = NAN;

  for (guint i = 0; i < self->n_measurements; i++)
    {
      const BlMeasurement *other = bl_at (self->board->measurements, i);
      const BlReading *reading = &((BlEntry *) bl_at (entries, i))->reading;
      if (g_strcmp0 (other->id, measurement->expected.follows->measurement) == 0 && reading->kind == BL_READING_VALUE)
        followed = reading->value;
    }
  BlBand *band = bl_band_resolve_on (self->board, measurement, followed, 0, NULL);
  row->low = row->high = NAN;
  widen (row, &((BlEntry *) bl_at (entries, row->measurement))->reading);
  if (band == NULL)
    return;
  bl_band_free (row->band);
  row->band = band;
}

static void
add_rows (const Preview *self, BlPreview *preview)
{
  for (guint i = 0; i < self->n_measurements; i++)
    {
      BlPreviewRow *row = g_new0 (BlPreviewRow, 1);
      row->measurement = i;
      row->band = bl_band_copy (bl_response_band (self->response, i));
      row->class_name = g_strdup (bl_response_class_name (self->response, i, self->classes[i]));
      row->good = self->classes[i] == self->sound[i];
      row->low = row->high = NAN;
      preview->n_changed += !row->good;
      g_ptr_array_add (preview->rows, row);
    }
  for (guint32 seed = 1; seed <= N_DRAWN; seed++)
    {
      g_autoptr (GPtrArray) entries = bl_simulate_active (self->board, self->response, self->active, seed);
      for (guint i = 0; i < self->n_measurements; i++)
        {
          const BlMeasurement *measurement = bl_at (self->board->measurements, i);
          widen (bl_at (preview->rows, i), &((BlEntry *) bl_at (entries, i))->reading);
          if (seed == N_DRAWN && measurement->expected.follows != NULL)
            settle_followed (self, bl_at (preview->rows, i), entries);
        }
    }
}

/* --- what looks the same --- */

static void
compare_mode (const Preview *self, guint mode, BlPreview *preview)
{
  g_autofree guint8 *active = g_new0 (guint8, self->n_modes + 1);
  guint differs = 0, where = 0;

  active[mode] = 1;
  spread (self, active, NULL, active);
  bl_response_evaluate (self->response, active, self->other);
  for (guint i = 0; i < self->n_measurements && differs < 2; i++)
    if (self->other[i] != self->classes[i])
      {
        differs++;
        where = i;
      }
  if (differs > 1)
    return;
  char *fault = g_strconcat (bl_response_component (self->response, mode), ":", bl_response_mode (self->response, mode),
                             NULL);
  if (differs == 0)
    {
      g_ptr_array_add (preview->alike, fault);
      return;
    }
  BlPreviewNear *near = g_new0 (BlPreviewNear, 1);
  near->fault = fault;
  near->measurement = where;
  near->class_name = g_strdup (bl_response_class_name (self->response, where, self->other[where]));
  g_ptr_array_add (preview->near, near);
}

/* The implied modes of a stage look like any fault of it; nobody documents against them. */
static void
compare_modes (const Preview *self, BlPreview *preview)
{
  guint n_asked = 0;

  for (guint i = 0; i < self->n_modes; i++)
    n_asked += self->asked[i];
  for (guint i = 0; i < self->n_modes; i++)
    if ((n_asked > 1 || !self->asked[i]) && bl_response_document_mode (self->response, i) != NULL)
      compare_mode (self, i, preview);
}

/* --- all --- */

static gboolean
prepare (Preview *self, const char *const *faults, const char *const *without, GError **error)
{
  const GArray *links;

  self->response = bl_response_new (self->board, error);
  if (self->response == NULL)
    return FALSE;
  links = bl_response_links (self->response);
  self->n_modes = bl_response_n_modes (self->response);
  self->n_measurements = bl_len (self->board->measurements);
  self->n_links = links->len;
  self->asked = g_new0 (guint8, self->n_modes + 1);
  self->excluded = g_new0 (guint8, self->n_modes + 1);
  self->active = g_new0 (guint8, self->n_modes + 1);
  self->likely = g_new0 (guint8, self->n_links + 1);
  self->classes = g_new0 (guint8, self->n_measurements + 1);
  self->sound = g_new0 (guint8, self->n_measurements + 1);
  self->other = g_new0 (guint8, self->n_measurements + 1);
  for (guint i = 0; i < self->n_links; i++)
    self->likely[i] = g_array_index (links, BlResponseLink, i).chance >= LIKELY;
  if (!set_flags (self, faults, self->asked, error) || !set_flags (self, without, self->excluded, error))
    return FALSE;
  bl_response_evaluate (self->response, self->active, self->sound);
  spread (self, self->asked, self->excluded, self->active);
  bl_response_evaluate (self->response, self->active, self->classes);
  return TRUE;
}

static void
clear (Preview *self)
{
  bl_response_free (self->response);
  g_free (self->asked);
  g_free (self->excluded);
  g_free (self->active);
  g_free (self->likely);
  g_free (self->classes);
  g_free (self->sound);
  g_free (self->other);
}

static gboolean
shows_at_times (const Preview *self)
{
  for (guint i = 0; i < self->n_modes; i++)
    if (self->asked[i] && bl_response_chance (self->response, i, "") < 1)
      return TRUE;
  return FALSE;
}

BlPreview *
bl_preview_new (const BlBoard *board, const char *const *faults, const char *const *without, GError **error)
{
  g_return_val_if_fail (board != NULL && faults != NULL, NULL);
  Preview self = { board };
  BlPreview *preview = NULL;

  if (prepare (&self, faults, without, error))
    {
      preview = g_new0 (BlPreview, 1);
      preview->rows = g_ptr_array_new_with_free_func (row_free);
      preview->along = g_ptr_array_new_with_free_func (along_free);
      preview->alike = g_ptr_array_new_with_free_func (g_free);
      preview->near = g_ptr_array_new_with_free_func (near_free);
      preview->at_times = shows_at_times (&self);
      list_along (&self, preview);
      add_rows (&self, preview);
      compare_modes (&self, preview);
    }
  clear (&self);
  return preview;
}
