/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One row of the measurement list, and one point of the photo: what is expected, what was read, what
 * was judged, as text ready to be shown. It is refreshed by the bench after every change and holds no
 * rules of its own. A job has some tens of them.
 */
#include "config.h"

#include "bl-band-words.h"
#include "bl-bench-private.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <string.h>

struct _BlMeasurementItem
{
  GObject parent_instance;

  char *id, *title, *point, *name, *section, *expected, *unit, *from, *from_long;
  char *read_first;    /* id; NULL: none */
  BlVerdict *followed; /* of the record, by what its band follows now; NULL: as kept */
  const BlMeasurement *measurement; /* of the edition's present board */
  BlBand *band;
  const BlRecord *record; /* of the bench's log */
  const BlRecord *before; /* the last one of an earlier round */
  gboolean old;
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlMeasurementItem, bl_measurement_item, G_TYPE_OBJECT)

const char *
bl_class_word (const char *class_name)
{
  static const char *const words[] = {
    N_ ("in band"),      N_ ("low"),         N_ ("high"),       N_ ("absent"),   N_ ("unsteady"),
    N_ ("shorted"),      N_ ("open"),        N_ ("still low"),  N_ ("still middle"), N_ ("still high"),
    N_ ("beyond"),       N_ ("as expected"), N_ ("deviates"),   N_ ("too close to call"),
    N_ ("not reached"),  N_ ("reversed"),
  };

  if (class_name == NULL)
    return "";
  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (g_str_equal (words[i], class_name))
      return _ (words[i]);
  return class_name; /* a mark: the document's own word */
}

BlMeasurementItem *
bl_measurement_item_new (const char *id)
{
  BlMeasurementItem *self = g_object_new (BL_TYPE_MEASUREMENT_ITEM, NULL);
  self->id = g_strdup (id);
  return self;
}

static const char *
stage_section (const BlBoard *board, const char *stage)
{
  const BlStage *found = stage != NULL ? bl_board_stage (board, stage) : NULL;
  return found != NULL ? found->section : NULL;
}

/* TRUE where both are of the same box of an equipment, or of one board: what a measurement between the boxes reads, or
 * what a part of another box does to it, does not make it a measurement of that board. */
static gboolean
same_box (const char *id, const char *section)
{
  const char *slash = strchr (id, '/'), *other = strchr (section, '/');

  if (slash == NULL || other == NULL)
    return slash == other;
  return slash - id == other - section && strncmp (id, section, (gsize) (slash - id)) == 0;
}

const char *
bl_measurement_section (const BlBoard *board, const BlMeasurement *measurement)
{
  const char *section = stage_section (board, measurement->reads);

  if (measurement->reads != NULL)
    return section != NULL && same_box (measurement->id, section) ? section : NULL;
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      if (!bl_component_acts_on (component, measurement->id))
        continue;
      section = stage_section (board, component->stage);
      if (strchr (measurement->id, '/') == NULL || (section != NULL && same_box (measurement->id, section)))
        return section != NULL && same_box (measurement->id, section) ? section : NULL;
    }
  return NULL;
}

static void
set_from (BlMeasurementItem *self, const BlBoard *board, double followed)
{
  g_free (self->from);
  self->from = bl_band_from_short (self->measurement, self->band, followed);
  g_free (self->from_long);
  self->from_long = bl_band_from_long (board, self->measurement, self->band, followed);
}

/* Below the name of its box a point is called as on its board: "TP5" of "wall/TP5". What is checked between the boxes goes
 * by its own name, as on the drawing: several checks share a terminal. (transfer full) */
static char *
name_in_box (const char *id, const char *point)
{
  const char *slash = strchr (id, '/');

  if (slash == NULL && strchr (point, '/') != NULL)
    return g_strdup (id);
  gsize length = slash != NULL ? (gsize) (slash - id) + 1 : 0;

  return g_strdup (length > 0 && strncmp (id, point, length) == 0 ? point + length : point);
}

/* What is of no section stays with its box: "wall/". (transfer full) */
static char *
section_in_box (const BlBoard *board, const BlMeasurement *measurement)
{
  const char *section = bl_measurement_section (board, measurement), *slash = strchr (measurement->id, '/');

  return section != NULL || slash == NULL ? g_strdup (section)
                                          : g_strndup (measurement->id, (gsize) (slash - measurement->id) + 1);
}

void
bl_measurement_item_update (BlMeasurementItem *self, const BlBoard *board, BlBand *band, const BlRecord *record,
                            gboolean old, const BlRecord *before)
{
  const BlMeasurement *measurement = bl_board_measurement (board, self->id);
  g_return_if_fail (measurement != NULL);
  const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  const char *title = measurement->title;

  if (title == NULL || *title == '\0')
    title = point != NULL && point->title != NULL && *point->title != '\0' ? point->title : self->id;
  self->measurement = measurement;
  g_free (self->title);
  self->title = g_strdup (title);
  g_free (self->point);
  self->point = g_strdup (measurement->at != NULL ? measurement->at : self->id);
  g_free (self->name);
  self->name = name_in_box (self->id, self->point);
  g_free (self->section);
  self->section = section_in_box (board, measurement);
  g_free (self->unit);
  self->unit = bl_format_unit (measurement->measures);
  g_clear_pointer (&self->band, bl_band_free);
  self->band = band;
  g_free (self->expected);
  self->expected = band != NULL ? bl_format_band (band) : g_strdup ("");
  self->record = record;
  self->old = old;
  self->before = before;
  g_clear_pointer (&self->followed, bl_verdict_free);
  g_clear_pointer (&self->read_first, g_free);
  set_from (self, board, NAN);
  g_signal_emit (self, signals[CHANGED], 0);
}

void
bl_measurement_item_set_followed (BlMeasurementItem *self, const BlBoard *board, double followed,
                                  const BlVerdict *verdict)
{
  const BlMeasurement *measurement = self->measurement;
  g_return_if_fail (measurement != NULL && measurement->expected.follows != NULL);

  g_clear_pointer (&self->followed, bl_verdict_free);
  if (verdict != NULL && self->record != NULL && !(self->record->verdict != NULL && self->record->verdict->reversed))
    self->followed = bl_verdict_copy (verdict);
  set_from (self, board, followed);
  if (!(self->band != NULL && self->band->follows))
    self->read_first = g_strdup (measurement->expected.follows->measurement);
  if (self->band == NULL)
    {
      g_free (self->expected);
      self->expected = g_strdup (self->from);
    }
  g_signal_emit (self, signals[CHANGED], 0);
}

const char *
bl_measurement_item_get_id (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->id;
}

const BlMeasurement *
bl_measurement_item_get_measurement (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->measurement;
}

const char *
bl_measurement_item_get_title (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->title;
}

const char *
bl_measurement_item_get_point (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->point;
}

const char *
bl_measurement_item_get_name (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->name;
}

const char *
bl_measurement_item_get_section (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->section;
}

const char *
bl_measurement_item_get_expected (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->expected;
}

const char *
bl_measurement_item_get_from (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->from;
}

const char *
bl_measurement_item_get_from_long (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->from_long;
}

const char *
bl_measurement_item_get_read_first (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->read_first;
}

const char *
bl_measurement_item_get_unit (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->unit;
}

const BlBand *
bl_measurement_item_get_band (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  /* What was read is shown against what it was judged by. */
  if (self->followed != NULL)
    return self->band;
  return self->record != NULL && self->record->band != NULL ? self->record->band : self->band;
}

const BlRecord *
bl_measurement_item_get_record (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->record;
}

gboolean
bl_measurement_item_get_reading (BlMeasurementItem *self, BlReading *reading)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), FALSE);
  if (self->record == NULL)
    return FALSE;
  return bl_reading_parse (self->record->text, self->measurement->measures, reading, NULL);
}

const BlVerdict *
bl_measurement_item_get_verdict (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  if (self->record == NULL)
    return NULL;
  if (self->followed != NULL)
    return self->followed;
  /* Where nothing is expected there is no band, and a reading is no verdict. */
  if (self->band == NULL && !self->measurement->has_expected && self->measurement->measures != BL_MEASURES_CHECK
      && self->record->verdict != NULL && !self->record->verdict->not_reached)
    return NULL;
  return self->record->verdict;
}

const char *
bl_measurement_item_get_word (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  const BlVerdict *verdict = bl_measurement_item_get_verdict (self);

  if (self->record == NULL)
    return "";
  return verdict != NULL ? bl_class_word (bl_verdict_label (verdict)) : _ ("not judged");
}

gboolean
bl_measurement_item_is_old (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), FALSE);
  return self->old;
}

const BlRecord *
bl_measurement_item_get_before (BlMeasurementItem *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), NULL);
  return self->before;
}

gboolean
bl_measurement_item_get_before_reading (BlMeasurementItem *self, BlReading *reading)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (self), FALSE);
  if (self->before == NULL)
    return FALSE;
  return bl_reading_parse (self->before->text, self->measurement->measures, reading, NULL);
}

static void
bl_measurement_item_finalize (GObject *object)
{
  BlMeasurementItem *self = BL_MEASUREMENT_ITEM (object);

  g_free (self->id);
  g_free (self->title);
  g_free (self->point);
  g_free (self->name);
  g_free (self->section);
  g_free (self->expected);
  g_free (self->unit);
  g_free (self->from);
  g_free (self->from_long);
  g_free (self->read_first);
  g_clear_pointer (&self->followed, bl_verdict_free);
  g_clear_pointer (&self->band, bl_band_free);
  G_OBJECT_CLASS (bl_measurement_item_parent_class)->finalize (object);
}

static void
bl_measurement_item_class_init (BlMeasurementItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_measurement_item_finalize;
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_MEASUREMENT_ITEM, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 0);
}

static void
bl_measurement_item_init (BlMeasurementItem *self)
{
}
