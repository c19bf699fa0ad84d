/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The suspects: what follows from the readings, as real text so that it can be read aloud.
 *
 * Stages before components, because a stage is found first. Improbable components are left out here;
 * the report lists all. Nothing is computed: odds and reasons come from the model. When all is in band
 * it says what that leaves open and never that the board is healthy. */
#include "config.h"

#include "bl-suspects-view.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-equipment.h"
#include "bl-format.h"
#include "bl-style.h"

#define MOST 8
#define LEAST_ODDS 0.005

struct _BlSuspectsView
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *scrolled, *box;
};

enum
{
  ASKED,
  QUARREL_ASKED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlSuspectsView, bl_suspects_view, GTK_TYPE_WIDGET)

static const char *
stage_title (const BlBoard *board, const char *id)
{
  const BlStage *stage = bl_board_stage (board, id);
  return stage != NULL && stage->title != NULL && *stage->title != '\0' ? stage->title : id;
}

char *
bl_component_words (const BlBoard *board, const char *component, const char *mode)
{
  g_return_val_if_fail (board != NULL && component != NULL, NULL);

  if (g_str_has_suffix (component, "/other"))
    {
      g_autofree char *stage = g_strndup (component, strlen (component) - strlen ("/other"));
      return g_strdup_printf (_ ("something else in %s"), stage_title (board, stage));
    }
  return mode != NULL ? g_strdup_printf ("%s %s", component, mode) : g_strdup (component);
}

char *
bl_likely_words (BlBench *bench)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);
  const BlOdd *odd;

  if (diagnosis == NULL || diagnosis->likely_stage == NULL)
    return NULL;
  odd = bl_diagnosis_find (diagnosis->stages, diagnosis->likely_stage);
  g_autofree char *odds = bl_format_odds (odd != NULL ? odd->probability : NAN);
  return g_strdup_printf (_ ("%s, %s"), stage_title (bl_bench_get_board (bench), diagnosis->likely_stage), odds);
}

/* The readings of one smallest quarrelling set, by name. */
static char *
quarrel_words (const BlBoard *board, GPtrArray *quarrel)
{
  g_autoptr (GString) text = g_string_new (NULL);
  GPtrArray *first = g_ptr_array_index (quarrel, 0);

  for (guint i = 0; i < first->len; i++)
    {
      const BlReadingRef *ref = g_ptr_array_index (first, i);
      const BlMeasurement *measurement = bl_board_measurement (board, ref->measurement);
      const char *name = measurement != NULL && measurement->at != NULL ? measurement->at : ref->measurement;
      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", name);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* What disturbs may be a symptom or a tested part: then the sets name no reading. */
static gboolean
names_readings (GPtrArray *quarrel)
{
  return bl_len (quarrel) > 0 && ((GPtrArray *) bl_at (quarrel, 0))->len > 0;
}

/* TRUE when at least one reading counts and none deviates. */
static gboolean
all_in_band (const BlDiagnosis *diagnosis)
{
  for (guint i = 0; i < bl_len (diagnosis->readings); i++)
    {
      const BlJudged *judged = bl_at (diagnosis->readings, i);
      if (judged->verdict == NULL || judged->band == NULL)
        continue;
      if (!judged->verdict->certain || judged->verdict->best != judged->band->good)
        return FALSE;
    }
  return bl_len (diagnosis->readings) > 0;
}

char *
bl_evidence_words (BlBench *bench, gboolean *trouble)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);
  const char *sentence = bl_bench_get_trouble (bench);

  *trouble = TRUE;
  if (sentence != NULL)
    return g_strdup (sentence);
  if (diagnosis == NULL)
    return NULL;
  if (diagnosis->fitted && !diagnosis->explained && names_readings (diagnosis->quarrel))
    {
      g_autofree char *names = quarrel_words (bl_bench_get_board (bench), diagnosis->quarrel);
      return g_strdup_printf (_ ("These do not fit together: without %s two faults would explain all. Measure again."),
                              names);
    }
  if (diagnosis->fitted && !diagnosis->explained)
    return g_strdup (_ ("Not explained: no two documented faults fit all that was noted, and no reading stands out "
                        "as the wrong one. Look again at symptoms and tested parts; there may be more than two "
                        "faults, or one that the document does not know."));
  *trouble = FALSE;
  if (all_in_band (diagnosis))
    {
      g_autofree char *elsewhere = bl_format_odds (diagnosis->elsewhere);
      return g_strdup_printf (_ ("All that was read is in band. That clears only what leaves a trace there: the fault "
                                 "may be in what was not read, come and go, or not be on this board (%s)."),
                              elsewhere);
    }
  return NULL;
}

/* --- rows --- */

static GtkWidget *
odds_bar (double probability)
{
  GtkWidget *bar = gtk_level_bar_new_for_interval (0, 1);

  gtk_level_bar_set_value (GTK_LEVEL_BAR (bar), CLAMP (probability, 0, 1));
  gtk_widget_set_size_request (bar, 62, 6);
  gtk_widget_set_valign (bar, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (bar, "odds-bar");
  g_object_set (bar, "can-focus", FALSE, NULL);
  return bar;
}

static void
row_pressed (GtkButton *button, BlSuspectsView *self)
{
  g_autofree char *suspect = g_strdup (g_object_get_data (G_OBJECT (button), "suspect"));

  if (g_object_get_data (G_OBJECT (button), "quarrel") != NULL)
    g_signal_emit (self, signals[QUARREL_ASKED], 0);
  else
    g_signal_emit (self, signals[ASKED], 0, suspect);
}

/* A row that is pressed to know why. suspect NULL: elsewhere. */
static GtkWidget *
add_button (BlSuspectsView *self, GtkWidget *content, const char *suspect, const char *name)
{
  GtkWidget *button = gtk_button_new ();

  gtk_button_set_child (GTK_BUTTON (button), content);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_set_tooltip_text (button, _ ("Press to see why"));
  bl_widget_name (button, name);
  g_object_set_data_full (G_OBJECT (button), "suspect", g_strdup (suspect), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (row_pressed), self);
  gtk_box_append (GTK_BOX (self->box), button);
  return button;
}

static void
add_likely (BlSuspectsView *self)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlBoard *board = bl_bench_get_board (self->bench);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *name, *kind, *odds;
  g_autofree char *words = bl_likely_words (self->bench);
  g_autofree char *said = NULL, *section = NULL;
  const BlStage *stage;

  if (words == NULL)
    {
      gboolean measured = diagnosis != NULL && bl_len (diagnosis->readings) > 0;
      gboolean equipment = bl_bench_get_equipment (self->bench) != NULL;
      const char *text = measured && equipment            ? _ ("more likely elsewhere, on none of them")
                         : measured                       ? _ ("more likely not on this board")
                         : bl_len (board->stages) == 0    ? _ ("this board has no stages yet")
                         : bl_bench_is_busy (self->bench) ? _ ("working out the odds")
                                                          : _ ("none yet: nothing was read");
      name = bl_label (text, "muted", 0);
      said = g_strdup_printf (_ ("Likely failed stage: none, %s"), text);
      bl_widget_name (name, said);
      gtk_box_append (GTK_BOX (self->box), name);
      return;
    }
  stage = bl_board_stage (board, diagnosis->likely_stage);
  name = bl_label (stage_title (board, diagnosis->likely_stage), "name", 0);
  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_END);
  said = g_strdup_printf (_ ("Likely failed stage: %s"), words);
  bl_widget_name (name, said);
  gtk_box_append (GTK_BOX (row), name);
  if (stage != NULL && stage->section != NULL)
    section = bl_bench_section_title (self->bench, stage->section);
  kind = bl_label (section != NULL ? section : _ ("stage"), "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (kind), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (kind, TRUE);
  /* A long name needs the room. */
  if (g_utf8_strlen (stage_title (board, diagnosis->likely_stage), -1) > 16)
    gtk_label_set_label (GTK_LABEL (kind), "");
  gtk_box_append (GTK_BOX (row), kind);
  g_autofree char *percent
    = bl_format_odds (bl_diagnosis_find (diagnosis->stages, diagnosis->likely_stage)->probability);
  odds = bl_label (percent, "odds", 1);
  gtk_box_append (GTK_BOX (row), odds);
  gtk_widget_add_css_class (row, "likely");
  if (diagnosis->unproven)
    gtk_box_append (GTK_BOX (self->box), bl_label (_ ("not read since the repair; if not cured:"), "muted small", 0));
  add_button (self, row, diagnosis->likely_stage, said);
}

/* found: in how many repairs of the edition it was a cause, "4 of 7"; NULL: not said. history: the same in
 * full, or NULL. */
static void
add_row (BlSuspectsView *self, const char *suspect, const char *head, const char *rest, const char *found,
         const char *history, double probability)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *words, *odds;
  g_autofree char *percent = bl_format_odds (probability);
  g_autofree char *who = g_strdup_printf ("%s%s%s", head, *head != '\0' ? " " : "", rest);
  g_autofree char *said = history != NULL ? g_strdup_printf (_ ("Suspect %s, %s; %s"), who, percent, history)
                                          : g_strdup_printf (_ ("Suspect %s, %s"), who, percent);

  if (*head != '\0')
    gtk_box_append (GTK_BOX (row), bl_label (head, "strong", 0));
  words = bl_label (rest, NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (words), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (row), words);
  if (found != NULL)
    gtk_box_append (GTK_BOX (row), bl_label (found, "muted small", 1));
  if (history != NULL)
    gtk_widget_set_tooltip_text (row, history);
  gtk_box_append (GTK_BOX (row), odds_bar (probability));
  odds = bl_label (percent, "row-odds", 1);
  gtk_label_set_width_chars (GTK_LABEL (odds), 5);
  bl_widget_name (odds, said);
  gtk_box_append (GTK_BOX (row), odds);
  gtk_widget_set_margin_start (row, 12);
  add_button (self, row, suspect, said);
}

static GtkWidget *
add_text (BlSuspectsView *self, const char *text, const char *classes, int margin)
{
  GtkWidget *label = bl_label (text, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 20);
  gtk_widget_set_margin_start (label, margin);
  gtk_box_append (GTK_BOX (self->box), label);
  return label;
}

/* What does not fit together is pressed to see which readings, and what to check. */
static void
add_quarrel (BlSuspectsView *self, const char *text)
{
  GtkWidget *label = add_text (self, text, "trouble", 0), *button;

  g_object_ref (label);
  gtk_box_remove (GTK_BOX (self->box), label);
  button = add_button (self, label, NULL, text);
  g_object_set_data (G_OBJECT (button), "quarrel", self);
  g_object_unref (label);
}

/* The figure beside it is the component's: where that of its likeliest mode, as the tree has it, reads
 * otherwise, the others are said too. */
static char *
mode_words (const BlOdd *odd, const BlOdd *mode)
{
  g_autofree char *whole = bl_format_odds (odd->probability);
  g_autofree char *part = mode != NULL ? bl_format_odds (mode->probability) : NULL;

  if (mode == NULL)
    return g_strdup ("");
  return g_str_equal (whole, part) ? g_strdup (mode->id) : g_strdup_printf (_ ("%s or else"), mode->id);
}

static void
add_component (BlSuspectsView *self, const BlOdd *odd, gboolean first)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlOdd *mode = odd->modes != NULL && odd->modes->len > 0 ? g_ptr_array_index (odd->modes, 0) : NULL;
  gboolean other = g_str_has_suffix (odd->id, "/other");
  g_autofree char *reason = NULL, *history = bl_bench_history_words (self->bench, odd->id), *found = NULL;
  guint n_repairs, n = bl_bench_history_count (self->bench, odd->id, &n_repairs);

  if (n > 0)
    found = g_strdup_printf (_ ("%u of %u"), n, n_repairs);
  for (guint i = 1; mode != NULL && i < odd->modes->len; i++)
    if (((BlOdd *) g_ptr_array_index (odd->modes, i))->probability > mode->probability)
      mode = g_ptr_array_index (odd->modes, i);
  if (other)
    {
      g_autofree char *words = bl_component_words (board, odd->id, NULL);
      add_row (self, odd->id, "", words, found, history, odd->probability);
    }
  else
    {
      g_autofree char *words = mode_words (odd, mode);
      add_row (self, odd->id, odd->id, words, found, history, odd->probability);
    }
  if (!first)
    return;
  reason = bl_bench_reason (self->bench, odd->id);
  if (reason != NULL && *reason != '\0')
    add_text (self, reason, "muted small", 12);
  if (history != NULL)
    add_text (self, history, "muted small", 12);
}

/* Of an equipment: on none of its boards and conductors, as the line of places has it. */
static void
add_elsewhere (BlSuspectsView *self, double odds)
{
  add_row (self, NULL, "",
           bl_bench_get_places (self->bench) != NULL ? _ ("elsewhere, on none of them") : _ ("not on this board"), NULL,
           NULL, odds);
}

static void
refresh (BlSuspectsView *self)
{
  const BlDiagnosis *diagnosis = self->bench != NULL ? bl_bench_get_diagnosis (self->bench) : NULL;
  gboolean trouble = FALSE, said_elsewhere = FALSE;
  guint shown = 0;
  double elsewhere = diagnosis == NULL ? 0 : diagnosis->places != NULL ? diagnosis->places->none : diagnosis->elsewhere;

  bl_widget_clear (self->box);
  if (self->bench == NULL)
    return;
  g_autofree char *words = bl_evidence_words (self->bench, &trouble);
  add_likely (self);
  if (words != NULL && trouble && diagnosis != NULL && names_readings (diagnosis->quarrel))
    add_quarrel (self, words);
  else if (words != NULL)
    add_text (self, words, trouble ? "trouble" : "remark", 0);
  for (guint i = 0; diagnosis != NULL && i < bl_len (diagnosis->components) && shown < MOST; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      if (!said_elsewhere && elsewhere >= odd->probability && elsewhere > LEAST_ODDS)
        {
          add_elsewhere (self, elsewhere);
          said_elsewhere = TRUE;
        }
      if (odd->probability < LEAST_ODDS)
        break;
      add_component (self, odd, shown++ == 0);
    }
  if (diagnosis != NULL && !said_elsewhere && elsewhere > LEAST_ODDS)
    add_elsewhere (self, elsewhere);
}

static void
bl_suspects_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                          int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (BL_SUSPECTS_VIEW (widget)->scrolled, orientation, for_size, minimum, natural, NULL, NULL);
}

/* No suspect is cut in two. */
static void
bl_suspects_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlSuspectsView *self = BL_SUSPECTS_VIEW (widget);

  height = bl_widget_whole_rows (self->box, width, height);
  gtk_widget_size_allocate (self->scrolled, &(GtkAllocation){ 0, 0, width, height }, -1);
}

static void
bl_suspects_view_dispose (GObject *object)
{
  BlSuspectsView *self = BL_SUSPECTS_VIEW (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_suspects_view_parent_class)->dispose (object);
}

static void
bl_suspects_view_class_init (BlSuspectsViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_suspects_view_dispose;
  signals[ASKED] = g_signal_new ("asked", BL_TYPE_SUSPECTS_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                 1, G_TYPE_STRING);
  signals[QUARREL_ASKED] = g_signal_new ("quarrel-asked", BL_TYPE_SUSPECTS_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                         NULL, G_TYPE_NONE, 0);
  widget_class->measure = bl_suspects_view_measure;
  widget_class->size_allocate = bl_suspects_view_size_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_suspects_view_init (BlSuspectsView *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->box);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
  bl_widget_name (GTK_WIDGET (self), _ ("Suspects"));
}

GtkWidget *
bl_suspects_view_new (void)
{
  return g_object_new (BL_TYPE_SUSPECTS_VIEW, NULL);
}

void
bl_suspects_view_set_bench (BlSuspectsView *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_SUSPECTS_VIEW (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench != NULL)
    g_signal_connect_object (bench, "diagnosed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  refresh (self);
}
