/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The contrast of what the style sheets put on each other, light and dark, by the formulas of WCAG 2.1 (W3C Recommendation
 * of 5 June 2018: relative luminance, contrast ratio) against its success criteria 1.4.3 (text 4.5 to 1) and 1.4.11 (signs
 * 3 to 1); formulas and limits from memory. 3 to 1 would do for large text, but all of ours reaches 4.5.
 *
 * Each rule that names a colour is held against its own ground, else against that of the longest selector it begins with
 * that has one, else against page and panel. Each ground is held against ink and captions. It is the sheets that are read,
 * not the screen: what the toolkit's own sheet adds is not seen here. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-palette.h"

#include <math.h>
#include <string.h>

#define TEXT 4.5
#define SIGN 3.0

static const char *const sheets[] = { "look.css", "look-drill.css", "look-editor.css", "look-import.css", "look-practice.css",
                                      "look-preferences.css", "look-take-in.css" };

/* What has a ground and no words on it: a picture, a line, the part of a bar. */
static const char *const wordless[] = { ".rule", "slider", "switch", "block", "trough", "progress", ".thumbnail", ".place-line",
                                        ".odd-bar", ".odd-track", ".paper", "scrollbar", ".live-meter", "arrow", ".unsafe-block" };

typedef struct
{
  char *selector;
  gboolean coloured, grounded; /* grounded: an opaque ground of its own */
  BlColour colour, ground;
  double veil;    /* of ink over whatever lies below; 0: none */
  double opacity; /* 1 where nothing is said */
} Rule;

static void
rule_free (gpointer data)
{
  g_free (((Rule *) data)->selector);
  g_free (data);
}

/* --- the formulas --- */

static double
channel (double value)
{
  return value <= 0.03928 ? value / 12.92 : pow ((value + 0.055) / 1.055, 2.4);
}

static double
contrast (const BlColour *one, const BlColour *other)
{
  double a = 0.2126 * channel (one->red) + 0.7152 * channel (one->green) + 0.0722 * channel (one->blue);
  double b = 0.2126 * channel (other->red) + 0.7152 * channel (other->green) + 0.0722 * channel (other->blue);

  return (MAX (a, b) + 0.05) / (MIN (a, b) + 0.05);
}

static BlColour
over (const BlColour *upper, double alpha, const BlColour *lower)
{
  return (BlColour){ alpha * upper->red + (1 - alpha) * lower->red, alpha * upper->green + (1 - alpha) * lower->green,
                     alpha * upper->blue + (1 - alpha) * lower->blue };
}

/* --- the sheets --- */

static char *
sheet (const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "resources", name, NULL), *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GRegex) comments = g_regex_new ("/\\*.*?\\*/|@import[^;]*;", G_REGEX_DOTALL, 0, NULL);

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return g_regex_replace_literal (comments, text, -1, 0, "", 0, NULL);
}

static BlColour
hex (const char *text)
{
  guint32 value = (guint32) g_ascii_strtoull (text + 1, NULL, 16);

  return (BlColour){ (value >> 16 & 0xff) / 255.0, (value >> 8 & 0xff) / 255.0, (value & 0xff) / 255.0 };
}

static GHashTable *
tokens (gboolean dark)
{
  g_autofree char *text = sheet (dark ? "look-dark.css" : "look-light.css");
  g_autoptr (GRegex) regex = g_regex_new ("@define-color (\\w+) (#[0-9A-Fa-f]{6});", 0, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;
  GHashTable *colours = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (g_regex_match (regex, text, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL))
    {
      g_autofree char *value = g_match_info_fetch (match, 2);
      BlColour *colour = g_new (BlColour, 1);
      *colour = hex (value);
      g_hash_table_insert (colours, g_match_info_fetch (match, 1), colour);
    }
  return colours;
}

static const BlColour *
token (GHashTable *colours, const char *name)
{
  const BlColour *colour = g_hash_table_lookup (colours, name);

  if (colour == NULL)
    g_error ("no colour %s", name);
  return colour;
}

/* "#RRGGBB" or "@name". FALSE: it is no colour of its own. */
static gboolean
parse_colour (GHashTable *colours, const char *text, BlColour *colour)
{
  gsize length = text[0] == '#' ? 7 : text[0] == '@' ? 1 + strspn (text + 1, "abcdefghijklmnopqrstuvwxyz_") : 0;
  g_autofree char *word = g_strndup (text, length);

  if (length == 0)
    return FALSE;
  *colour = word[0] == '#' ? hex (word) : *token (colours, word + 1);
  return TRUE;
}

static void
take_declaration (GHashTable *colours, Rule *rule, const char *name, const char *value)
{
  if (g_str_equal (name, "color"))
    rule->coloured = parse_colour (colours, value, &rule->colour);
  else if (g_str_equal (name, "opacity"))
    rule->opacity = g_ascii_strtod (value, NULL);
  else if (g_str_equal (name, "background") && g_str_has_prefix (value, "alpha(@bl_ink,"))
    rule->veil = g_ascii_strtod (value + strlen ("alpha(@bl_ink,"), NULL);
  else if (g_str_equal (name, "background"))
    rule->grounded = parse_colour (colours, value, &rule->ground);
}

static void
add_rules (GHashTable *colours, GPtrArray *rules, const char *selectors, const char *body)
{
  g_auto (GStrv) names = g_strsplit (selectors, ",", -1), lines = g_strsplit (body, ";", -1);

  for (guint i = 0; names[i] != NULL; i++)
    {
      Rule *rule = g_new0 (Rule, 1);
      rule->selector = g_strdup (g_strstrip (names[i]));
      rule->opacity = 1;
      for (guint k = 0; lines[k] != NULL; k++)
        {
          g_auto (GStrv) pair = g_strsplit (lines[k], ":", 2);
          if (g_strv_length (pair) == 2)
            take_declaration (colours, rule, g_strstrip (pair[0]), g_strstrip (pair[1]));
        }
      g_ptr_array_add (rules, rule);
    }
}

static GPtrArray *
read_rules (GHashTable *colours)
{
  GPtrArray *rules = g_ptr_array_new_with_free_func (rule_free);
  g_autoptr (GRegex) regex = g_regex_new ("([^{}]+)\\{([^{}]*)\\}", 0, 0, NULL);

  for (guint i = 0; i < G_N_ELEMENTS (sheets); i++)
    {
      g_autofree char *text = sheet (sheets[i]);
      g_autoptr (GMatchInfo) match = NULL;
      for (g_regex_match (regex, text, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL))
        {
          g_autofree char *selectors = g_match_info_fetch (match, 1), *body = g_match_info_fetch (match, 2);
          add_rules (colours, rules, selectors, body);
        }
    }
  return rules;
}

/* --- what lies on what --- */

/* The ground of the longest selector that this one begins with; NULL: page or panel. */
static const Rule *
ground_rule (GPtrArray *rules, const char *selector)
{
  const Rule *best = NULL;

  /* The words on a photo are on a chip. */
  if (strstr (selector, ".photo-act") != NULL)
    selector = ".bench .photo-chip .photo-act";
  for (guint i = 0; i < rules->len; i++)
    {
      const Rule *rule = g_ptr_array_index (rules, i);
      gsize length = strlen (rule->selector);
      if (rule->grounded && g_str_has_prefix (selector, rule->selector) && selector[length] != '\0'
          && strchr (" >.:", selector[length]) != NULL && (best == NULL || length > strlen (best->selector)))
        best = rule;
    }
  return best;
}

static void
hold (GHashTable *colours, const char *what, const BlColour *colour, double opacity, double veil, const BlColour *ground,
      double least, guint *failed)
{
  const BlColour *ink = token (colours, "bl_ink");
  BlColour below = over (ink, veil, ground), seen = over (colour, opacity, &below);
  double ratio = contrast (&seen, &below);

  if (ratio >= least)
    return;
  g_test_message ("%s: %.2f to 1, wanted %.1f", what, ratio, least);
  *failed += 1;
}

/* A ground whose words have a colour of their own by the rule of its labels. */
static gboolean
labels_say (GPtrArray *rules, const char *selector)
{
  g_autofree char *labels = g_strconcat (selector, " label", NULL);

  for (guint i = 0; i < rules->len; i++)
    {
      const Rule *rule = g_ptr_array_index (rules, i);
      if (rule->coloured && g_str_equal (rule->selector, labels))
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_words (const char *selector)
{
  for (guint i = 0; i < G_N_ELEMENTS (wordless); i++)
    if (strstr (selector, wordless[i]) != NULL)
      return FALSE;
  return TRUE;
}

static void
hold_rule (GHashTable *colours, GPtrArray *rules, const Rule *rule, guint *failed)
{
  const BlColour *ink = token (colours, "bl_ink"), *muted = token (colours, "bl_muted");
  const Rule *under = rule->grounded ? rule : ground_rule (rules, rule->selector);
  const BlColour *grounds[] = { under != NULL ? &under->ground : token (colours, "bl_page"),
                                under != NULL ? NULL : token (colours, "bl_raised") };
  gboolean icon = strstr (rule->selector, ".icon") != NULL;

  for (guint i = 0; i < G_N_ELEMENTS (grounds) && grounds[i] != NULL; i++)
    {
      if (rule->coloured || rule->opacity < 1)
        hold (colours, rule->selector, rule->coloured ? &rule->colour : ink, rule->opacity, rule->veil, grounds[i],
              icon ? SIGN : TEXT, failed);
      /* Ink and captions stand on it where nothing else is said; on the colours of a danger the rule says what does. */
      if ((rule->grounded || rule->veil > 0) && !rule->coloured && has_words (rule->selector)
          && !labels_say (rules, rule->selector))
        {
          hold (colours, rule->selector, ink, 1, rule->veil, grounds[i], TEXT, failed);
          hold (colours, rule->selector, muted, 1, rule->veil, grounds[i], TEXT, failed);
        }
    }
}

static void
test_rules (gconstpointer data)
{
  g_autoptr (GHashTable) colours = tokens (GPOINTER_TO_INT (data));
  g_autoptr (GPtrArray) rules = read_rules (colours);
  guint failed = 0, coloured = 0;

  for (guint i = 0; i < rules->len; i++)
    {
      const Rule *rule = g_ptr_array_index (rules, i);
      hold_rule (colours, rules, rule, &failed);
      coloured += rule->coloured;
    }
  /* That the sheets were read at all. */
  g_assert_cmpuint (rules->len, >, 300);
  g_assert_cmpuint (coloured, >, 80);
  g_assert_cmpuint (failed, ==, 0);
}

/* Verdicts and dangers are words wherever ink is: on page, panel, the likely stage's row, and under the pointer. */
static void
test_verdicts (gconstpointer data)
{
  g_autoptr (GHashTable) colours = tokens (GPOINTER_TO_INT (data));
  static const char *const words[] = { "bl_in_band", "bl_low", "bl_high", "bl_unsteady", "bl_shorted", "bl_too_close",
                                       "bl_not_reached", "bl_muted", "bl_ink" };
  static const char *const grounds[] = { "bl_page", "bl_raised", "bl_field", "bl_likely_row" };
  guint failed = 0;

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    for (guint k = 0; k < G_N_ELEMENTS (grounds); k++)
      {
        g_autofree char *what = g_strdup_printf ("%s on %s", words[i], grounds[k]);
        hold (colours, what, token (colours, words[i]), 1, 0, token (colours, grounds[k]), TEXT, &failed);
      }
  for (guint k = 0; k < G_N_ELEMENTS (grounds); k++)
    hold (colours, grounds[k], token (colours, "bl_edge"), 1, 0, token (colours, grounds[k]), SIGN, &failed);
  g_assert_cmpuint (failed, ==, 0);
}

/* The toolkit shows what cannot be used, and what stands on it, at half its strength, which no colour of ours outlives. */
static void
test_disabled (void)
{
  g_autofree char *text = sheet ("look.css");
  static const char *const whole[] = { ".bench button:disabled", ".bench entry:disabled", ".bench spinbutton:disabled",
                                       ".bench label:disabled" };

  for (guint i = 0; i < G_N_ELEMENTS (whole); i++)
    {
      const char *place = strstr (text, whole[i]), *body = place != NULL ? strchr (place, '{') : NULL;
      g_autofree char *rule = body != NULL ? g_strndup (body, (gsize) (strchr (body, '}') - body)) : NULL;
      g_assert_nonnull (rule);
      g_assert_nonnull (strstr (rule, "filter: none"));
    }
}

/* The sheets and the palette of what is drawn by hand say the same. */
static void
test_same (gconstpointer data)
{
  const BlPalette *p = bl_palette_get (GPOINTER_TO_INT (data));
  g_autoptr (GHashTable) colours = tokens (GPOINTER_TO_INT (data));
  const struct { const char *name; const BlColour *colour; } pairs[] = {
    { "bl_page", &p->page },           { "bl_raised", &p->raised },       { "bl_ink", &p->ink },
    { "bl_muted", &p->muted },         { "bl_edge", &p->edge },           { "bl_hairline", &p->hairline },
    { "bl_in_band", &p->in_band },     { "bl_low", &p->low },             { "bl_high", &p->high },
    { "bl_unsteady", &p->unsteady },   { "bl_shorted", &p->shorted },     { "bl_too_close", &p->too_close },
    { "bl_not_reached", &p->not_reached }, { "bl_likely_row", &p->likely_row }, { "bl_live", &p->banner_live },
  };

  for (guint i = 0; i < G_N_ELEMENTS (pairs); i++)
    if (memcmp (token (colours, pairs[i].name), pairs[i].colour, sizeof (BlColour)) != 0)
      g_error ("%s is not the palette's", pairs[i].name);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/app/contrast/disabled", test_disabled);
  for (int dark = FALSE; dark <= TRUE; dark++)
    {
      const char *name = dark ? "dark" : "light";
      g_autofree char *rules = g_strconcat ("/app/contrast/rules/", name, NULL);
      g_autofree char *verdicts = g_strconcat ("/app/contrast/verdicts/", name, NULL);
      g_autofree char *same = g_strconcat ("/app/contrast/same/", name, NULL);
      g_test_add_data_func (rules, GINT_TO_POINTER (dark), test_rules);
      g_test_add_data_func (verdicts, GINT_TO_POINTER (dark), test_verdicts);
      g_test_add_data_func (same, GINT_TO_POINTER (dark), test_same);
    }
  return g_test_run ();
}
