/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reads a measurement typed in one line. The line is cut at blanks; words that say kind, state, black lead, stage
 * or another class are taken out wherever they stand, and what is left is the value, which bl-entry-value.c reads.
 * A line is one field of a form: some forty characters, 200 at most.
 *
 * What fits two things is refused, never guessed.
 */
#include "config.h"

#include "bl-entry-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-verdict.h"

#define LONGEST 200 /* bytes */

/* The line while it is read. */
typedef struct
{
  const BlBoard *board;
  const BlTestPoint *point;
  const BlEntryHabit *habit;
  const char *text;
  GArray *words; /* BlSpan */
  GString *value;
  BlSpan value_span;
  BlMeasures measures; /* BL_N_MEASURES: not said */
  const BlState *state;
  const BlTestPoint *black;
  const BlStage *reads;
  gboolean black_said, reads_said;
  BlQuantity absent, shorted, open; /* text of what was said, value unused until the kind is known */
  BlSpan absent_span, shorted_span, open_span, reads_span;
  int series;
  BlEntryLine *line;
  BlSpan place;
} Reader;

static gboolean G_GNUC_PRINTF (4, 5)
fail (Reader *self, BlSpan place, GError **error, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  g_autofree char *reason = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  self->place = place;
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, reason);
  return FALSE;
}

/* --- words of the line --- */

static BlSpan
span_at (Reader *self, guint i)
{
  return g_array_index (self->words, BlSpan, i);
}

/* (transfer full) */
static char *
word_at (Reader *self, guint i)
{
  if (i >= self->words->len)
    return NULL;
  BlSpan span = span_at (self, i);
  return g_strndup (self->text + span.from, span.length);
}

static void
cut (Reader *self, guint from, guint to)
{
  for (guint at = from; at < to;)
    {
      while (at < to && g_ascii_isspace (self->text[at]))
        at++;
      guint begin = at;
      while (at < to && !g_ascii_isspace (self->text[at]))
        at++;
      if (at > begin)
        g_array_append_val (self->words, ((BlSpan){ begin, at - begin }));
    }
}

/* --- single words --- */

static const struct
{
  const char *word;
  BlMeasures measures;
} kinds[] = {
  { "VDC", BL_MEASURES_V_DC },       { "VAC", BL_MEASURES_V_AC },        { "Vpp", BL_MEASURES_V_PP },
  { "pp", BL_MEASURES_V_PP },        { "p-p", BL_MEASURES_V_PP },        { "ADC", BL_MEASURES_A_DC },
  { "AAC", BL_MEASURES_A_AC },       { "ohm", BL_MEASURES_OHM },         { "ohms", BL_MEASURES_OHM },
  { "ESR", BL_MEASURES_ESR },        { "diode", BL_MEASURES_DIODE },     { "continuity", BL_MEASURES_CONTINUITY },
  { "cont", BL_MEASURES_CONTINUITY }, { "insulation", BL_MEASURES_INSULATION }, { "swing", BL_MEASURES_SWING },
  { "check", BL_MEASURES_CHECK },
};

/* DC and AC say it of volts, or of amperes where these are meant. */
static BlMeasures
current_kind (Reader *self, gboolean ac)
{
  gboolean amperes = g_regex_match_simple ("[0-9.,]\\s*[mu\\x{b5}\\x{3bc}n]?A\\b", self->text, 0, 0)
                     || (!g_regex_match_simple ("[0-9.,]\\s*[mu\\x{b5}\\x{3bc}k]?V", self->text, 0, 0)
                         && (self->habit->measures == BL_MEASURES_A_DC || self->habit->measures == BL_MEASURES_A_AC));

  return amperes ? (ac ? BL_MEASURES_A_AC : BL_MEASURES_A_DC) : ac ? BL_MEASURES_V_AC : BL_MEASURES_V_DC;
}

static BlMeasures
kind_of (Reader *self, const char *word)
{
  if (g_ascii_strcasecmp (word, "DC") == 0 || g_ascii_strcasecmp (word, "AC") == 0)
    return current_kind (self, g_ascii_tolower (word[0]) == 'a');
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (g_ascii_strcasecmp (word, kinds[i].word) == 0)
      return kinds[i].measures;
  return BL_N_MEASURES;
}

static gboolean
set_kind (Reader *self, BlMeasures measures, BlSpan place, GError **error)
{
  if (self->measures != BL_N_MEASURES && self->measures != measures)
    return fail (self, place, error, _ ("it is said to be %s already"), _ (bl_measures_name (self->measures)));
  self->measures = measures;
  return TRUE;
}

static void
add_value (Reader *self, const char *word, BlSpan place)
{
  if (self->value->len == 0)
    self->value_span = place;
  else
    g_string_append_c (self->value, ' ');
  self->value_span.length = place.from + place.length - self->value_span.from;
  g_string_append (self->value, word);
}

/* "325VDC", "1.5Vpp": the kind at the end of a figure. The value keeps the unit. */
static gboolean
take_joined (Reader *self, const char *word, BlSpan place, gboolean *taken, GError **error)
{
  static const struct
  {
    const char *end;
    BlMeasures measures;
  } ends[] = { { "vdc", BL_MEASURES_V_DC },  { "vac", BL_MEASURES_V_AC }, { "vpp", BL_MEASURES_V_PP },
               { "vp-p", BL_MEASURES_V_PP }, { "adc", BL_MEASURES_A_DC }, { "aac", BL_MEASURES_A_AC } };
  g_autofree char *lower = g_ascii_strdown (word, -1);

  for (guint i = 0; i < G_N_ELEMENTS (ends); i++)
    if (strlen (lower) > strlen (ends[i].end) && g_str_has_suffix (lower, ends[i].end))
      {
        g_autofree char *value = g_strndup (word, strlen (word) - strlen (ends[i].end) + 1);
        *taken = TRUE;
        add_value (self, value, place);
        return set_kind (self, ends[i].measures, place, error);
      }
  return TRUE;
}

/* Whether a word belongs to the value: it has figures or signs of one, or is the unit behind a figure. */
static gboolean
is_value (Reader *self, const char *word)
{
  double one;
  g_autofree char *quantity = g_strconcat ("1 ", word, NULL);

  if (g_unichar_isdigit (g_utf8_get_char (word)) || strchr ("<>=+-.,()/%~", word[0]) != NULL
      || g_str_has_prefix (word, "±") || g_str_has_prefix (word, "≤") || g_str_has_prefix (word, "≥")
      || g_str_has_prefix (word, "…") || g_str_has_prefix (word, "–")
      || g_str_has_prefix (word, "−") || strcmp (word, "R") == 0 || g_regex_match_simple ("^[RrVv][0-9]+$", word, 0, 0))
    return TRUE;
  if (g_ascii_strcasecmp (word, "to") == 0)
    return TRUE;
  return self->value->len > 0 && bl_quantity_parse (quantity, NULL, &one, NULL);
}

/* "lit", "not lit", "dark" of a lamp: what is looked at is its title. */
static gboolean
take_lamp (Reader *self, guint *i, const char *word, GError **error)
{
  g_autofree char *next = word_at (self, *i + 1);
  gboolean not = g_ascii_strcasecmp (word, "not") == 0 && next != NULL && g_ascii_strcasecmp (next, "lit") == 0;

  if (!set_kind (self, BL_MEASURES_CHECK, span_at (self, *i), error))
    return FALSE;
  add_value (self, not || g_ascii_strcasecmp (word, "unlit") == 0 || g_ascii_strcasecmp (word, "dark") == 0 ? "no" : "yes",
             span_at (self, *i));
  *i += not;
  if (self->line->title == NULL)
    self->line->title = g_strdup (_ ("lit"));
  return TRUE;
}

static gboolean
is_lamp (Reader *self, guint i, const char *word)
{
  g_autofree char *next = word_at (self, i + 1);

  return g_ascii_strcasecmp (word, "lit") == 0 || g_ascii_strcasecmp (word, "unlit") == 0
         || g_ascii_strcasecmp (word, "dark") == 0
         || (g_ascii_strcasecmp (word, "not") == 0 && next != NULL && g_ascii_strcasecmp (next, "lit") == 0);
}

/* --- words with something behind them --- */

static gboolean
is_none (const char *word)
{
  return g_ascii_strcasecmp (word, "none") == 0 || strcmp (word, "-") == 0 || strcmp (word, _ ("none")) == 0;
}

static gboolean
take_black (Reader *self, guint *i, GError **error)
{
  g_autofree char *word = word_at (self, *i + 1);

  if (word == NULL)
    return fail (self, span_at (self, *i), error, _ ("the black lead is on which test point?"));
  (*i)++;
  self->black_said = TRUE;
  if (is_none (word))
    return TRUE;
  for (guint p = 0; p < bl_len (self->board->test_points); p++)
    if (g_ascii_strcasecmp (((BlTestPoint *) bl_at (self->board->test_points, p))->id, word) == 0)
      self->black = bl_at (self->board->test_points, p);
  if (self->black == NULL)
    return fail (self, span_at (self, *i), error, _ ("“%s” is no test point of this board"), word);
  if (self->black == self->point)
    return fail (self, span_at (self, *i), error, _ ("both leads would be on %s"), word);
  return TRUE;
}

static gboolean
take_reads (Reader *self, guint *i, GError **error)
{
  g_autofree char *word = word_at (self, *i + 1);
  const BlStage *several;

  if (word == NULL)
    return fail (self, span_at (self, *i), error, _ ("it reads which stage?"));
  (*i)++;
  self->reads_said = TRUE;
  self->reads_span = span_at (self, *i);
  if (is_none (word))
    return TRUE;
  self->reads = bl_entry_name_stage (self->board, word, &several);
  if (self->reads == NULL)
    return fail (self, span_at (self, *i), error, _ ("“%s” is no stage of this board"), word);
  if (several != NULL)
    return fail (self, span_at (self, *i), error, _ ("“%s” could be %s or %s"), word, several->id,
                 self->reads->id);
  return TRUE;
}

/* "absent 100 V", "short < 5", "open > 10k". */
static gboolean
take_class (Reader *self, guint *i, BlQuantity *quantity, BlSpan *place, GError **error)
{
  BlSpan begin = span_at (self, *i);
  g_autofree char *word = word_at (self, *i + 1), *unit = NULL;
  double one;

  if (word != NULL && strchr ("<>", word[0]) != NULL)
    {
      (*i)++;
      if (word[1] != '\0')
        memmove (word, word + 1, strlen (word));
      else
        {
          g_free (word);
          word = word_at (self, *i + 1);
          *i += word != NULL;
        }
    }
  else
    *i += word != NULL;
  if (word == NULL || !bl_quantity_parse (word, NULL, &one, NULL))
    return fail (self, begin, error, _ ("from which value on?"));
  unit = word_at (self, *i + 1);
  g_autofree char *whole = unit != NULL ? g_strdup_printf ("%s %s", word, unit) : g_strdup (word);
  /* A unit behind it is its own; a figure there begins something else. */
  if (unit != NULL && !g_ascii_isdigit (unit[0]) && kind_of (self, unit) == BL_N_MEASURES
      && bl_quantity_parse (whole, NULL, &one, NULL))
    (*i)++;
  else
    {
      g_free (whole);
      whole = g_strdup (word);
    }
  bl_quantity_clear (quantity);
  quantity->text = g_steal_pointer (&whole);
  *place = (BlSpan){ begin.from, span_at (self, *i).from + span_at (self, *i).length - begin.from };
  return TRUE;
}

static gboolean
take_state (Reader *self, guint *i, GError **error)
{
  g_autofree char *word = word_at (self, *i);
  BlSpan place = span_at (self, *i);
  const BlState *several;

  if (g_ascii_strcasecmp (word, "in") == 0 && *i + 1 < self->words->len)
    {
      (*i)++;
      g_free (word);
      word = word_at (self, *i);
      place = span_at (self, *i);
    }
  const BlState *state = bl_entry_name_state (self->board, word, &several);
  if (state == NULL)
    return fail (self, place, error, _ ("“%s” is no kind, no state of this board and no unit"), word);
  if (several != NULL)
    return fail (self, place, error, _ ("“%s” could be the state %s or %s"), word, several->id,
                 state->id);
  if (self->state != NULL && self->state != state)
    return fail (self, place, error, _ ("it is in %s already"), self->state->id);
  self->state = state;
  self->line->state_said = TRUE;
  return TRUE;
}

/* --- the line --- */

static gboolean
is_word (const char *word, const char *one, const char *other)
{
  return g_ascii_strcasecmp (word, one) == 0 || (other != NULL && g_ascii_strcasecmp (word, other) == 0);
}

static gboolean
names_point (Reader *self, guint i)
{
  g_autofree char *word = word_at (self, i);

  for (guint p = 0; word != NULL && p < bl_len (self->board->test_points); p++)
    if (g_ascii_strcasecmp (((BlTestPoint *) bl_at (self->board->test_points, p))->id, word) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
take_word (Reader *self, guint *i, GError **error)
{
  g_autofree char *word = word_at (self, *i);
  BlSpan place = span_at (self, *i);
  BlMeasures measures = kind_of (self, word);
  gboolean taken = FALSE;

  /* Behind a figure it is the unit; ESR and continuity have the same. */
  if (measures == BL_MEASURES_OHM && self->value->len > 0)
    {
      add_value (self, "ohm", place);
      return TRUE;
    }
  if (measures != BL_N_MEASURES)
    return set_kind (self, measures, place, error);
  if (is_word (word, "black", NULL) || (is_word (word, "to", NULL) && names_point (self, *i + 1)))
    return take_black (self, i, error);
  if (is_word (word, "reads", NULL))
    return take_reads (self, i, error);
  if (is_word (word, "absent", NULL))
    return take_class (self, i, &self->absent, &self->absent_span, error);
  if (is_word (word, "short", "shorted"))
    return take_class (self, i, &self->shorted, &self->shorted_span, error);
  if (is_word (word, "open", NULL))
    return take_class (self, i, &self->open, &self->open_span, error);
  if (is_word (word, "series", NULL))
    return (self->series = 1);
  if (is_lamp (self, *i, word))
    return take_lamp (self, i, word, error);
  if (is_word (word, "OL", NULL))
    return fail (self, place, error, _ ("OL is no figure: write > and the most the meter shows, > 2M"));
  if (!take_joined (self, word, place, &taken, error))
    return FALSE;
  if (taken)
    return TRUE;
  if (is_value (self, word) || is_word (word, "yes", "no") || strcmp (word, _ ("yes")) == 0
      || strcmp (word, _ ("no")) == 0)
    {
      add_value (self, word, place);
      return TRUE;
    }
  return take_state (self, i, error);
}

/* "12 V at C3: …" and "relay clicks? …": where the title ends, and where the rest begins. */
static guint
take_title (Reader *self)
{
  const char *asked = strchr (self->text, '?');
  const char *colon = asked == NULL ? strstr (self->text, ": ") : NULL;
  const char *end = asked != NULL ? asked : colon;

  if (end == NULL)
    return 0;
  g_autofree char *title = g_strstrip (g_strndup (self->text, (gsize) (end - self->text)));
  if (*title != '\0')
    self->line->title = g_steal_pointer (&title);
  if (asked != NULL)
    self->measures = BL_MEASURES_CHECK;
  return (guint) (end - self->text) + 1;
}

static gboolean
take_words (Reader *self, GError **error)
{
  guint from = take_title (self);

  cut (self, from, (guint) strlen (self->text));
  for (guint i = 0; i < self->words->len; i++)
    if (!take_word (self, &i, error))
      return FALSE;
  if (self->measures == BL_MEASURES_CHECK && self->value->len == 0)
    g_string_append (self->value, "yes");
  return TRUE;
}

/* Where the part of the value stands that could not be read. */
static BlSpan
place_of (Reader *self, const char *wrong)
{
  const char *begin = self->text + self->value_span.from;
  const char *found = wrong != NULL && *wrong != '\0' ? g_strstr_len (begin, self->value_span.length, wrong) : NULL;

  if (found == NULL)
    return self->value_span;
  return (BlSpan){ (guint) (found - self->text), (guint) strlen (wrong) };
}

static gboolean
take_value (Reader *self, GError **error)
{
  BlMeasurement *measurement = self->line->measurement;
  g_autofree char *plain = bl_entry_value_plain (self->value->str), *wrong = NULL;

  self->line->kind_said = self->measures != BL_N_MEASURES;
  if (self->measures == BL_N_MEASURES && !bl_entry_value_kind (self->habit, plain, &self->measures, error))
    {
      self->place = self->value_span;
      return FALSE;
    }
  measurement->measures = self->measures;
  if (*plain == '\0' && self->value->len == 0)
    {
      /* Words alone: the expected value is not known yet. */
      measurement->has_expected = TRUE;
      return TRUE;
    }
  if (bl_entry_value_read (measurement, plain, &wrong, error))
    return TRUE;
  self->place = place_of (self, wrong);
  return FALSE;
}

static gboolean
take_limit (Reader *self, BlQuantity *to, BlQuantity *said, BlSpan place, gboolean fitting, const char *class,
            GError **error)
{
  g_autoptr (GError) reason = NULL;
  double value;

  if (said->text == NULL)
    return TRUE;
  if (!fitting)
    return fail (self, place, error, _ ("%s has no class “%s”"), _ (bl_measures_name (self->measures)), _ (class));
  if (!bl_quantity_parse (said->text, bl_measures_unit (self->measures), &value, &reason))
    return fail (self, place, error, "%s", reason->message);
  bl_quantity_clear (to);
  to->value = value;
  to->text = bl_quantity_with_point (said->text);
  return TRUE;
}

static gboolean
take_limits (Reader *self, GError **error)
{
  BlExpected *expected = &self->line->measurement->expected;
  gboolean resistive = bl_measures_is_resistive (self->measures), steady = bl_measures_is_steady (self->measures);

  return take_limit (self, &expected->absent_below, &self->absent, self->absent_span, steady, "absent", error)
         && take_limit (self, &expected->shorted_below, &self->shorted, self->shorted_span, resistive, "shorted", error)
         && take_limit (self, &expected->open_above, &self->open, self->open_span, resistive, "open", error);
}

/* What was not said. */
static void
fill (Reader *self)
{
  BlMeasurement *measurement = self->line->measurement;
  const BlState *state = self->state != NULL ? self->state : bl_entry_habit_state (self->habit, self->board, self->measures);
  const BlTestPoint *black
    = self->black_said ? self->black : bl_entry_habit_black (self->habit, self->board, self->point);

  measurement->at = g_strdup (self->point != NULL ? self->point->id : NULL);
  measurement->state = g_strdup (state != NULL ? state->id : NULL);
  if (self->measures != BL_MEASURES_CHECK || self->black_said)
    measurement->black = g_strdup (black != NULL ? black->id : NULL);
  if (self->series == 1)
    measurement->series = 1;
  self->line->black_said = self->black_said;
  self->line->reads_why = BL_READS_SAID;
  const BlStage *reads = self->reads_said
                           ? self->reads
                           : bl_reads_guess (self->board, self->point, measurement, &self->line->reads_why);
  measurement->reads = g_strdup (reads != NULL ? reads->id : NULL);
  /* Volts between two points say that both are on one ground. */
  if (self->point != NULL && self->point->ground == NULL && black != NULL && black->ground != NULL
      && self->measures <= BL_MEASURES_V_PP && measurement->black != NULL)
    self->line->ground = g_strdup (black->ground);
}

/* Absent below the band, open above it: the rules of the document, with the reason they give. */
static gboolean
check (Reader *self, GError **error)
{
  g_autoptr (BlBand) band = bl_band_resolve (self->line->measurement, NAN, NAN, error);

  self->place = self->value_span.length > 0 ? self->value_span : (BlSpan){ 0, (guint) strlen (self->text) };
  return band != NULL;
}

static gboolean
read_line (Reader *self, GError **error)
{
  if (strlen (self->text) > LONGEST || !g_utf8_validate (self->text, -1, NULL))
    return fail (self, (BlSpan){ 0, (guint) strlen (self->text) }, error, _ ("it is too long for one measurement"));
  if (!take_words (self, error) || !take_value (self, error) || !take_limits (self, error))
    return FALSE;
  if (self->reads != NULL && bl_measures_is_resistive (self->measures))
    return fail (self, self->reads_span, error, _ ("%s does not read the output of a stage"),
                 bl_measures_name (self->measures));
  fill (self);
  return check (self, error);
}

BlEntryLine *
bl_entry_line_read (const BlBoard *board, const char *point, const BlEntryHabit *habit, const char *text, BlSpan *place,
                    GError **error)
{
  g_return_val_if_fail (board != NULL && habit != NULL && text != NULL, NULL);
  g_autoptr (BlEntryLine) line = g_new0 (BlEntryLine, 1);
  g_autoptr (GArray) words = g_array_new (FALSE, FALSE, sizeof (BlSpan));
  g_autoptr (GString) value = g_string_new (NULL);
  Reader reader = { .board = board, .habit = habit, .text = text, .words = words, .value = value, .line = line,
                    .measures = BL_N_MEASURES, .absent = BL_QUANTITY_NONE, .shorted = BL_QUANTITY_NONE,
                    .open = BL_QUANTITY_NONE };
  gboolean read;

  reader.point = point != NULL ? bl_board_test_point (board, point) : NULL;
  line->measurement = bl_measurement_new ();
  read = read_line (&reader, error);
  if (place != NULL)
    *place = reader.place;
  g_free (reader.absent.text);
  g_free (reader.shorted.text);
  g_free (reader.open.text);
  return read ? g_steal_pointer (&line) : NULL;
}
