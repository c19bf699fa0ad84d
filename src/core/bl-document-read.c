/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads documents (JSON, UTF-8) into structs by the tables of bl-schema.c: the right type at the
 * right key, nothing twice and nothing unknown. What the values may be is the validation's
 * business, which runs on whatever could be read, so that one pass shows every problem. Nesting
 * beyond the JSON reader's 2048 levels is refused. The long function has one case per kind of
 * field. */
#include "config.h"

#include "bl-document.h"

#include "bl-check.h"

#include <string.h>

#include <glib/gi18n-lib.h>
#include <jansson.h>

typedef struct
{
  BlReport *report;
  const char *unit; /* of the quantities of the measurement being read; NULL: any */
} Reader;

static void read_object (Reader *reader,
                         const BlSchema *schema,
                         json_t *json,
                         gpointer self,
                         const BlPath *path);

static gboolean
expect (Reader *reader, gboolean is_right, const BlPath *path, const char *what)
{
  if (!is_right)
    bl_report_unread (reader->report, path, _("expected %s"), what);
  return is_right;
}

static void
read_text (Reader *reader, json_t *json, char **text, const BlPath *path)
{
  if (expect (reader, json_is_string (json), path, _("a text")))
    *text = g_strdup (json_string_value (json));
}

static void
read_number (Reader *reader, json_t *json, double *value, const BlPath *path)
{
  if (expect (reader, json_is_number (json), path, _("a number")))
    *value = json_number_value (json);
}

/* A number, or a text in the trade's notation. unit NULL: any. text may be NULL. */
static void
read_physical (Reader *reader,
               json_t *json,
               const char *unit,
               double *value,
               char **text,
               const BlPath *path)
{
  g_autoptr (GError) error = NULL;
  if (json_is_number (json))
    *value = json_number_value (json);
  else if (!expect (reader, json_is_string (json), path, _("a quantity (a number or a text)")))
    return;
  else if (!bl_quantity_parse (json_string_value (json), unit, value, &error))
    bl_report_unread (reader->report, path, "%s", error->message);
  else if (text != NULL)
    *text = g_strdup (json_string_value (json));
}

static void
read_quantity (Reader *reader,
               json_t *json,
               const char *unit,
               BlQuantity *quantity,
               const BlPath *path)
{
  read_physical (reader, json, unit, &quantity->value, &quantity->text, path);
}

static void
read_pair (Reader *reader, json_t *json, BlQuantity *pair, gboolean *has, const BlPath *path)
{
  if (!expect (reader, json_is_array (json) && json_array_size (json) == 2, path,
               _("a list of two quantities")))
    return;
  *has = TRUE;
  for (guint i = 0; i < 2; i++)
    read_quantity (reader, json_array_get (json, i), reader->unit, &pair[i],
                   &BL_PATH_INDEX (path, i));
}

static void
read_texts (Reader *reader, json_t *json, char ***texts, const BlPath *path)
{
  if (!expect (reader, json_is_array (json), path, _("a list of texts")))
    return;
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < json_array_size (json); i++)
    {
      char *text = NULL;
      read_text (reader, json_array_get (json, i), &text, &BL_PATH_INDEX (path, i));
      /* Keeps the place of one that is no text, for the places of those after it. */
      g_ptr_array_add (list, text != NULL ? text : g_strdup (""));
    }
  g_ptr_array_add (list, NULL);
  *texts = (char **) g_ptr_array_free (g_steal_pointer (&list), FALSE);
}

static void
read_names (Reader *reader, json_t *json, char ***names, gboolean *is_list, const BlPath *path)
{
  *is_list = json_is_array (json);
  if (*is_list)
    read_texts (reader, json, names, path);
  else if (expect (reader, json_is_string (json), path, _("a name or a list of names")))
    {
      *names = g_new0 (char *, 2);
      (*names)[0] = g_strdup (json_string_value (json));
    }
}

static void
read_points (Reader *reader, json_t *json, gboolean physical, GArray **points, const BlPath *path)
{
  if (!expect (reader, json_is_array (json), path, _("a list of points")))
    return;
  *points = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < json_array_size (json); i++)
    {
      json_t *point = json_array_get (json, i);
      BlPath at = BL_PATH_INDEX (path, i);
      double pair[2] = { 0, 0 };
      if (expect (reader, json_is_array (point) && json_array_size (point) == 2, &at,
                  _("a point of two numbers")))
        for (guint c = 0; c < 2; c++)
          {
            BlPath coordinate = BL_PATH_INDEX (&at, c);
            if (physical)
              read_physical (reader, json_array_get (point, c), c == 1 ? reader->unit : NULL,
                             &pair[c], NULL, &coordinate);
            else
              read_number (reader, json_array_get (point, c), &pair[c], &coordinate);
          }
      g_array_append_vals (*points, pair, 2);
    }
}

/* An object of numbers under free names. "notes" with a text is its note. */
static void
read_chances (Reader *reader, json_t *json, GArray **chances, char **notes, const BlPath *path)
{
  if (!expect (reader, json_is_object (json), path, _("an object of numbers")))
    return;
  bl_chances_add (chances, NULL, 0);
  const char *key;
  json_t *value;
  json_object_foreach (json, key, value)
  {
    BlPath at = BL_PATH_KEY (path, key);
    double number = 0;
    if (g_str_equal (key, "notes") && json_is_string (value))
      *notes = g_strdup (json_string_value (value));
    else
      {
        read_number (reader, value, &number, &at);
        bl_chances_add (chances, key, number);
      }
  }
}

static void
read_passes (Reader *reader, json_t *json, BlPasses *passes, const BlPath *path)
{
  if (!expect (reader, json_is_object (json), path, _("an object of deviations")))
    return;
  passes->set = TRUE;
  const char *key;
  json_t *value;
  json_object_foreach (json, key, value)
  {
    BlPath at = BL_PATH_KEY (path, key);
    BlDeviation from, to;
    if (g_str_equal (key, "notes"))
      read_text (reader, value, &passes->notes, &at);
    else if (!bl_deviation_parse (key, &from) || from == BL_IN_BAND)
      bl_report_unread (reader->report, &at,
                        _("unknown key; known here: absent, unsteady, low, high, notes"));
    else if (expect (reader,
                     json_is_string (value) && bl_deviation_parse (json_string_value (value), &to),
                     &at, _("absent, unsteady, low, high or in band")))
      passes->to[from] = to;
  }
}

static void
read_need (Reader *reader, json_t *json, int *need, const BlPath *path)
{
  double k = json_is_number (json) ? json_number_value (json) : 0;
  if (json_is_string (json) && g_str_equal (json_string_value (json), "all"))
    *need = BL_NEED_ALL;
  else if (json_is_string (json) && g_str_equal (json_string_value (json), "any"))
    *need = BL_NEED_ANY;
  else if (expect (reader, k >= 1 && k <= G_MAXINT && k == floor (k), path,
                   _("\"all\", \"any\" or a whole number from 1 to the number of feeds")))
    *need = (int) k;
}

static void
read_measures (Reader *reader, json_t *json, BlMeasures *measures, const BlPath *path)
{
  if (json_is_string (json) && bl_measures_parse (json_string_value (json), measures))
    return;
  g_autoptr (GString) names = g_string_new (NULL);
  for (int i = 0; i < BL_N_MEASURES; i++)
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", bl_measures_name (i));
  bl_report_unread (reader->report, path, _("expected one of: %s"), names->str);
}

static void
read_list (Reader *reader,
           const BlSchema *element,
           json_t *json,
           GPtrArray **list,
           const BlPath *path)
{
  if (!expect (reader, json_is_array (json), path, _("a list")))
    return;
  *list = g_ptr_array_new_with_free_func (element->free);
  for (guint i = 0; i < json_array_size (json); i++)
    {
      json_t *item = json_array_get (json, i);
      gpointer self = bl_schema_new (element);
      g_ptr_array_add (*list, self);
      if (element->long_flag != 0 && json_is_string (item))
        *(char **) bl_field_in (self, element->short_text) = g_strdup (json_string_value (item));
      else
        {
          if (element->long_flag != 0)
            *(gboolean *) bl_field_in (self, element->long_flag) = TRUE;
          read_object (reader, element, item, self, &BL_PATH_INDEX (path, i));
        }
    }
}

/* Kinds of one value or a list of plain ones. FALSE: another kind. */
static gboolean
read_plain (Reader *reader, const BlField *f, json_t *json, gpointer self, const BlPath *path)
{
  gpointer at = bl_field_in (self, f->offset), companion = bl_field_in (self, f->companion);
  switch (f->kind)
    {
    case BL_FIELD_TEXT:
      read_text (reader, json, at, path);
      break;
    case BL_FIELD_NUMBER:
      read_number (reader, json, at, path);
      break;
    case BL_FIELD_PHYSICAL:
      read_physical (reader, json, f->unit, at, NULL, path);
      break;
    case BL_FIELD_FLAG:
      if (expect (reader, json_is_boolean (json), path, _("true or false")))
        *(int *) at = json_is_true (json);
      break;
    case BL_FIELD_TEXTS:
      read_texts (reader, json, at, path);
      break;
    case BL_FIELD_NAMES:
      read_names (reader, json, at, companion, path);
      break;
    case BL_FIELD_QUANTITY:
      read_quantity (reader, json, f->unit != NULL ? f->unit : reader->unit, at, path);
      break;
    case BL_FIELD_PAIR:
      read_pair (reader, json, at, companion, path);
      break;
    case BL_FIELD_POINTS:
      read_points (reader, json, f->unit != NULL, at, path);
      break;
    default:
      return FALSE;
    }
  return TRUE;
}

static void
read_field (Reader *reader, const BlField *f, json_t *json, gpointer self, const BlPath *path)
{
  gpointer at = bl_field_in (self, f->offset), companion = bl_field_in (self, f->companion);
  if (read_plain (reader, f, json, self, path))
    return;
  switch (f->kind)
    {
    case BL_FIELD_CHANCES:
      read_chances (reader, json, at, companion, path);
      break;
    case BL_FIELD_PASSES:
      read_passes (reader, json, at, path);
      break;
    case BL_FIELD_NEED:
      read_need (reader, json, at, path);
      break;
    case BL_FIELD_MEASURES:
      read_measures (reader, json, at, path);
      break;
    case BL_FIELD_LIST:
      read_list (reader, f->element, json, at, path);
      break;
    case BL_FIELD_GROUP:
      *(gboolean *) companion = TRUE;
      read_object (reader, f->element, json, at, path);
      break;
    case BL_FIELD_OBJECT:
      *(gpointer *) at = bl_schema_new (f->element);
      read_object (reader, f->element, json, *(gpointer *) at, path);
      break;
    default:
      g_assert_not_reached ();
    }
}

static const BlField *
find_field (const BlSchema *schema, const char *key)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    if (g_str_equal (f->key, key))
      return f;
  return NULL;
}

static void
report_unknown_key (Reader *reader, const BlSchema *schema, const BlPath *path)
{
  g_autoptr (GString) known = g_string_new (NULL);
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    g_string_append_printf (known, "%s%s", known->len > 0 ? ", " : "", f->key);
  bl_report_error (reader->report, path, _("unknown key; known here: %s"), known->str);
}

/* The unit of a measurement's limits is known by another key of it, wherever that stands. */
static const char *
unit_of_measurement (json_t *json)
{
  const char *name = json_string_value (json_object_get (json, "measures"));
  BlMeasures measures;
  return name != NULL && bl_measures_parse (name, &measures) ? bl_measures_unit (measures) : NULL;
}

static void
read_object (Reader *reader,
             const BlSchema *schema,
             json_t *json,
             gpointer self,
             const BlPath *path)
{
  if (!expect (reader, json_is_object (json), path, _("an object")))
    return;
  if (schema == &bl_measurement_schema)
    reader->unit = unit_of_measurement (json);
  const char *key;
  json_t *value;
  json_object_foreach (json, key, value)
  {
    const BlField *f = find_field (schema, key);
    BlPath at = BL_PATH_KEY (path, key);
    if (f != NULL)
      read_field (reader, f, value, self, &at);
    else if (path->up != NULL || (!g_str_equal (key, "format") && !g_str_equal (key, "version")))
      report_unknown_key (reader, schema, &at);
  }
}

/* Skips a byte order mark. Returns NULL with a problem when text is no JSON. */
static json_t *
load (const char *text, gssize length, BlReport *report, const BlPath *root)
{
  gsize size = length < 0 ? strlen (text) : (gsize) length;
  if (size >= 3 && memcmp (text, "\xef\xbb\xbf", 3) == 0)
    {
      text += 3;
      size -= 3;
    }
  json_error_t error;
  /* Whole numbers as reals: an id of twenty digits is then too long a number, not a syntax error.
   */
  json_t *json = json_loadb (text, size, JSON_REJECT_DUPLICATES | JSON_DECODE_INT_AS_REAL, &error);
  if (json == NULL)
    bl_report_unread (report, root, _("not JSON at line %d, column %d: %s"), MAX (error.line, 1),
                      MAX (error.column, 1), error.text);
  return json;
}

static void
check_format (json_t *json, const char *format, BlReport *report, const BlPath *root)
{
  BlPath at_format = BL_PATH_KEY (root, "format"), at_version = BL_PATH_KEY (root, "version");
  const json_t *version = json_object_get (json, "version");
  const char *found = json_string_value (json_object_get (json, "format"));
  if (g_strcmp0 (found, format) != 0)
    bl_report_error (report, &at_format, _("expected \"%s\""), format);
  if (!json_is_number (version) || json_number_value (version) != 1)
    bl_report_error (report, &at_version, _("expected 1, the version of the format read here"));
}

gboolean
bl_document_read (const char *text,
                  gssize length,
                  const char *format,
                  const BlSchema *schema,
                  gpointer self,
                  BlReport *report,
                  const BlPath *root)
{
  Reader reader = { report, NULL };
  json_t *json = load (text, length, report, root);
  gboolean is_object = json_is_object (json);
  if (is_object)
    check_format (json, format, report, root);
  if (json != NULL)
    read_object (&reader, schema, json, self, root);
  json_decref (json);
  return is_object;
}

BlBoard *
bl_document_parse (const char *text, gssize length, GPtrArray *problems, GError **error)
{
  g_return_val_if_fail (text != NULL, NULL);
  g_autoptr (GPtrArray) own = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_auto (BlReport) report;
  g_autoptr (BlBoard) board = bl_board_new ();
  bl_report_init (&report, problems != NULL ? problems : own);
  if (bl_document_read (text, length, "benchlore-board", &bl_board_schema, board, &report,
                        &BL_PATH_ROOT))
    bl_check_board (board, TRUE, &report, &BL_PATH_ROOT);
  return bl_report_finish (&report, error) ? g_steal_pointer (&board) : NULL;
}

gboolean
bl_document_is_equipment (const char *text, gssize length)
{
  g_return_val_if_fail (text != NULL, FALSE);
  g_autoptr (GPtrArray) ignored = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_auto (BlReport) report;
  bl_report_init (&report, ignored);
  json_t *json = load (text, length, &report, &BL_PATH_ROOT);
  /* A broken one is looked at as text, so that its error is told by the right reader. */
  gboolean is = json != NULL ? g_strcmp0 (json_string_value (json_object_get (json, "format")),
                                          "benchlore-equipment") == 0
                             : g_strstr_len (text, length, "\"benchlore-equipment\"") != NULL;
  json_decref (json);
  return is;
}
