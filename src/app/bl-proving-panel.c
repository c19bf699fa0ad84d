/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The proving panel. It stands where the photo is, so that list, entry and banner stay: what was read before is
 * read again by typing, as always. Whatever is typed elsewhere shows here at once. While a soak runs its time is
 * stepped once a second; nothing else is drawn anew for that. Nothing here says that anything is safe. */
#include "config.h"

#include "bl-proving-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-equipment.h"
#include "bl-format.h"
#include "bl-proving-rows.h"
#include "bl-proving-settings.h"
#include "bl-style.h"

struct _BlProvingPanel
{
  GtkWidget parent_instance;

  BlBench *bench;
  BlSafetyLimits limits;
  GtkWidget *box, *since, *odds, *remaining, *remaining_words, *sums, *scrolled, *content;
  GtkWidget *soak; /* figures that step; NULL: none runs */
  GHashTable *heads; /* what their key does to the headings; not owned */
  BlSoakState soak_shown;
  guint tick;
  int width; /* the rows were made for */
};

enum
{
  ACT,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlProvingPanel, bl_proving_panel, GTK_TYPE_WIDGET)

static gboolean go_next (BlProvingPanel *self);

/* Brings the part that is answered now into sight. */
static void
scroll_to (BlProvingPanel *self, const char *what)
{
  GtkWidget *head = g_hash_table_lookup (self->heads, what);
  graphene_rect_t bounds;

  if (head != NULL && gtk_widget_compute_bounds (head, self->content, &bounds))
    gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled)),
                              bounds.origin.y);
}

/* What is pressed; the next one is found here, all else is the page's. */
static void
act (const char *what, gpointer data)
{
  if (g_str_equal (what, "next"))
    go_next (data);
  else
    {
      scroll_to (data, what);
      g_signal_emit (data, signals[ACT], 0, what);
    }
}

/* --- head --- */

static char *
time_of (gint64 time)
{
  return bl_format_day (time, g_get_real_time ());
}

static void
show_since (BlProvingPanel *self)
{
  const BlRecord *repair = bl_proving_repair (self->bench);
  g_autofree char *when = repair != NULL ? time_of (repair->time) : NULL;
  g_autofree char *words
    = repair == NULL ? g_strdup ("")
      : repair->kind == BL_RECORD_REPLACED
        ? g_strdup_printf (_ ("since %s was replaced, %s"), repair->subject, when)
        : g_strdup_printf (_ ("since the round begun %s"), when);

  gtk_label_set_label (GTK_LABEL (self->since), words);
}

static void
show_remaining (BlProvingPanel *self)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  g_autofree char *odds = diagnosis != NULL ? bl_format_odds (diagnosis->remaining) : g_strdup ("–");
  /* Of an equipment the figure that the line of places shows, too. */
  double outside = diagnosis == NULL ? 0 : diagnosis->places != NULL ? diagnosis->places->none : diagnosis->elsewhere;
  g_autofree char *elsewhere = bl_format_odds (outside);
  g_autofree char *words
    = diagnosis == NULL
        ? g_strdup (bl_bench_is_busy (self->bench) ? _ ("the odds are being worked out")
                                                   : _ ("no odds: the board has no stages yet, or nothing fits"))
      : bl_bench_get_equipment (self->bench) != NULL
        ? g_strdup_printf (_ ("that a board or a conductor of the equipment is still wrong, after all that was read; %s "
                              "that the fault was elsewhere"), elsewhere)
        : g_strdup_printf (_ ("that something on it is still wrong, after all that was read; %s that the fault was not "
                              "on it at all"), elsewhere);

  gtk_label_set_label (GTK_LABEL (self->remaining), odds);
  gtk_label_set_label (GTK_LABEL (self->remaining_words), words);
}

static char *
soak_short (BlProvingPanel *self)
{
  static const char *const words[] = {
    [BL_SOAK_NONE] = N_ ("no soak"),     [BL_SOAK_RUNNING] = N_ ("soak running"), [BL_SOAK_OVER] = N_ ("soak over"),
    [BL_SOAK_PASSED] = N_ ("soak done"), [BL_SOAK_SHORT] = N_ ("soak cut short"), [BL_SOAK_FAILED] = N_ ("fault in the soak"),
  };
  BlSoak soak;

  bl_proving_soak (self->bench, g_get_real_time (), &soak);
  return g_strdup (_ (words[soak.state]));
}

static void
show_sums (BlProvingPanel *self)
{
  g_auto (GStrv) shop = bl_proving_settings_checks ();
  BlProvingCount n;

  bl_proving_count (self->bench, &self->limits, (const char *const *) shop, &n);
  g_autofree char *read = g_strdup_printf (_ ("%u of %u read again"), n.pairs - n.unread, n.pairs);
  g_autofree char *deviate
    = n.deviating > 0 ? g_strdup_printf (ngettext (", %u deviates", ", %u deviate", n.deviating), n.deviating)
                      : g_strdup ("");
  g_autofree char *condition
    = n.other_condition > 0
        ? g_strdup_printf (ngettext (", %u in another condition", ", %u in another condition", n.other_condition),
                           n.other_condition)
        : g_strdup ("");
  g_autofree char *checks = g_strdup_printf (_ ("%u of %u checks"), n.checks - n.open_checks, n.checks);
  g_autofree char *failed = n.failed_checks > 0 ? g_strdup_printf (_ (", %u not as it should be"), n.failed_checks)
                                                : g_strdup ("");
  g_autofree char *soak = soak_short (self);
  g_autofree char *safety = n.tests > 1 || n.open_tests == 0
                              ? g_strdup_printf (_ ("safety %u of %u"), n.tests - n.open_tests, n.tests)
                              : g_strdup (_ ("safety not begun"));
  g_autofree char *outside = n.failed_tests > 0 ? g_strdup_printf (_ (", %u outside its limit"), n.failed_tests)
                                                : g_strdup ("");
  g_autofree char *text = g_strdup_printf ("%s%s%s · %s%s · %s · %s%s", read, deviate, condition, checks, failed, soak,
                                           safety, outside);
  gtk_label_set_label (GTK_LABEL (self->sums), text);
}

/* what: a constant. */
static void
heading (BlProvingPanel *self, const BlProvingActs *acts, const char *words, const char *does, const char *cap,
         const char *hint, const char *what)
{
  bl_proving_add_heading (self->content, acts, words, does, cap, hint, what);
  g_hash_table_insert (self->heads, (gpointer) what, gtk_widget_get_last_child (self->content));
}

/* --- soak --- */

/* "12:34", or "1:02:03" from an hour on. */
static char *
clock_words (gint64 microseconds)
{
  gint64 s = (MAX (0, microseconds) + G_USEC_PER_SEC - 1) / G_USEC_PER_SEC;

  return s < 3600 ? g_strdup_printf ("%d:%02d", (int) (s / 60), (int) (s % 60))
                  : g_strdup_printf ("%d:%02d:%02d", (int) (s / 3600), (int) (s / 60 % 60), (int) (s % 60));
}

static char *
soak_words (const BlSoak *soak, gint64 now)
{
  g_autofree char *left = clock_words (soak->ends - now), *end = time_of (soak->ends);

  switch (soak->state)
    {
    case BL_SOAK_RUNNING:
      return g_strdup_printf (_ ("%s left of %u min, until %s"), left, soak->minutes, end);
    case BL_SOAK_OVER:
      return g_strdup_printf (_ ("%u min are over since %s: what was found?"), soak->minutes, end);
    case BL_SOAK_PASSED:
      return g_strdup_printf (_ ("ended %s after %u min or more: the fault did not come back"), end, soak->minutes);
    case BL_SOAK_SHORT:
      return g_strdup_printf (_ ("ended %s before its %u min: the fault did not come back"), end, soak->minutes);
    case BL_SOAK_FAILED:
      return g_strdup_printf (_ ("ended %s: a fault"), end);
    case BL_SOAK_NONE:
    default:
      return g_strdup (_ ("not begun: with its load, relays switched, hot and cold start"));
    }
}

static void
add_soak (BlProvingPanel *self, const BlProvingActs *acts)
{
  gint64 now = g_get_real_time ();
  BlSoak soak;

  bl_proving_soak (self->bench, now, &soak);
  g_autofree char *words = soak_words (&soak, now);
  g_autofree char *hint = g_strdup_printf (_ ("usually %u min here"), bl_proving_settings_soak_minutes ());
  gboolean counts = soak.state == BL_SOAK_RUNNING || soak.state == BL_SOAK_OVER;
  heading (self, acts, _ ("Soak"), counts ? _ ("say what was found") : _ ("begin the soak"), _ ("Alt O"), hint, "soak");
  GtkWidget *label = bl_proving_add_words (self->content, words,
                                           counts                        ? "soak strong"
                                           : soak.state == BL_SOAK_FAILED ? "v-high"
                                           : soak.state == BL_SOAK_NONE   ? "muted"
                                                                          : "");
  self->soak_shown = soak.state;
  g_set_weak_pointer (&self->soak, soak.state == BL_SOAK_RUNNING ? label : NULL);
}

static void show (BlProvingPanel *self);

static gboolean
step_soak (gpointer data)
{
  BlProvingPanel *self = data;
  gint64 now = g_get_real_time ();
  BlSoak soak;

  if (self->bench == NULL)
    return G_SOURCE_CONTINUE;
  if (gtk_widget_get_mapped (GTK_WIDGET (self)) && gtk_widget_get_width (GTK_WIDGET (self)) != self->width)
    show (self); /* the window was made wider */
  if (self->soak == NULL)
    return G_SOURCE_CONTINUE;
  bl_proving_soak (self->bench, now, &soak);
  if (soak.state != self->soak_shown)
    {
      show (self);
      return G_SOURCE_CONTINUE;
    }
  g_autofree char *words = soak_words (&soak, now);
  gtk_label_set_label (GTK_LABEL (self->soak), words);
  return G_SOURCE_CONTINUE;
}

/* --- the rest --- */

static void
add_safety (BlProvingPanel *self, const BlProvingActs *acts)
{
  g_autofree char *source = bl_proving_settings_source ();
  BlSafetyUnit unit;
  gboolean has_class;

  bl_proving_unit (self->bench, &unit, &has_class);
  g_autofree char *heater = unit.heater_w > 0 ? g_strdup_printf (_ (", heating elements %g kW"), unit.heater_w / 1000)
                                              : g_strdup ("");
  g_autofree char *cord = unit.cord_m > 0 ? g_strdup_printf (_ (", cord %g m"), unit.cord_m) : g_strdup ("");
  g_autofree char *hint
    = has_class ? g_strdup_printf (_ ("class %s%s%s; limits: %s"), bl_safety_class_name (unit.safety_class), cord,
                                   heater, source)
                : g_strdup_printf (_ ("class not said yet; limits: %s"), source);
  heading (self, acts, _ ("Electrical safety"), _ ("enter what was measured"), _ ("Alt E"), hint, "safety");
  bl_proving_add_safety (self->content, acts);
}

static void
add_cause (BlProvingPanel *self, const BlProvingActs *acts)
{
  const BlRecord *repair = bl_proving_repair (self->bench);
  const char *cause = bl_bench_get_job (self->bench)->cause;
  g_autofree char *words = NULL;

  if (cause != NULL && *cause != '\0')
    words = g_strdup_printf (_ ("confirmed: %s"), cause);
  else if (repair != NULL && repair->kind == BL_RECORD_REPLACED
           && bl_bench_cause_said (self->bench, repair->subject, NULL) == BL_CAUSE_REFUSED)
    words = g_strdup_printf (_ ("not confirmed; %s was not it"), repair->subject);
  else
    words = g_strdup (_ ("not confirmed: only what you confirm counts for other jobs of this edition"));
  heading (self, acts, _ ("Cause"), _ ("confirm the cause"), _ ("Ctrl F"), NULL, "cause");
  bl_proving_add_words (self->content, words, cause != NULL && *cause != '\0' ? "" : "muted");
}

/* Parts replaced whose killer may still be there. */
static void
add_killers (BlProvingPanel *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->struck || record->kind != BL_RECORD_REPLACED || !g_hash_table_add (seen, record->subject))
        continue;
      g_auto (GStrv) killers = bl_proving_untested_killers (self->bench, record->subject);
      g_autofree char *names = g_strjoinv (", ", killers);
      g_autofree char *words
        = g_strdup_printf (_ ("%s may have killed %s and was not tested by itself: F7, before power comes back."), names,
                           record->subject);
      if (*killers != NULL)
        bl_proving_add_words (self->content, words, "trouble");
    }
}

static void
show (BlProvingPanel *self)
{
  if (self->bench == NULL || !gtk_widget_get_visible (GTK_WIDGET (self)))
    return;
  /* A wide panel has wide rulers: words and figures of a row are not to drift apart. */
  self->width = gtk_widget_get_width (GTK_WIDGET (self));
  const BlProvingActs acts = { self->bench, act, self, &self->limits, CLAMP (self->width - 470, 120, 360) };
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  double value = gtk_adjustment_get_value (adjustment);
  gboolean repaired = bl_proving_repair (self->bench) != NULL;

  bl_proving_settings_limits (&self->limits);
  bl_widget_clear (self->content);
  g_hash_table_remove_all (self->heads);
  show_since (self);
  show_remaining (self);
  show_sums (self);
  /* Before a repair all that was found is still wrong, and that says nothing. */
  gtk_widget_set_visible (self->odds, repaired);
  gtk_widget_set_visible (self->sums, repaired);
  if (!repaired)
    bl_proving_add_words (self->content,
                          _ ("No repair is in the log yet. F7 says which part was replaced, or what was put right where "
                             "it is: resoldered, cleaned. Ctrl R begins a round for anything else."),
                          "remark");
  if (repaired)
    {
      g_autoptr (GPtrArray) pairs = bl_proving_pairs (self->bench);
      g_auto (GStrv) shop = bl_proving_settings_checks ();
      g_autoptr (GPtrArray) checks = bl_proving_checks (self->bench, (const char *const *) shop);
      add_killers (self);
      heading (self, &acts, _ ("Before and after"), _ ("measure the next"), _ ("Alt G"),
                              _ ("type the reading as always; a row goes there"), "next");
      bl_proving_add_pairs (self->content, &acts, pairs);
      heading (self, &acts, _ ("What it does"), _ ("answer the checks"), _ ("Alt C"),
                              _ ("the shop's own list is in the preferences"), "checks");
      bl_proving_add_checks (self->content, &acts, checks);
    }
  add_soak (self, &acts);
  add_safety (self, &acts);
  add_cause (self, &acts);
  gtk_adjustment_set_value (adjustment, value);
}

/* --- opening --- */

gboolean
bl_proving_panel_is_open (BlProvingPanel *self)
{
  g_return_val_if_fail (BL_IS_PROVING_PANEL (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

static gboolean
fit (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  if (gtk_widget_get_width (widget) == 0)
    return G_SOURCE_CONTINUE; /* not laid out yet */
  if (gtk_widget_get_width (widget) != BL_PROVING_PANEL (widget)->width)
    show (BL_PROVING_PANEL (widget));
  return G_SOURCE_REMOVE;
}

void
bl_proving_panel_open (BlProvingPanel *self)
{
  g_return_if_fail (BL_IS_PROVING_PANEL (self));
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  if (self->tick == 0)
    self->tick = g_timeout_add_seconds (1, step_soak, self);
  gtk_widget_add_tick_callback (GTK_WIDGET (self), fit, NULL, NULL);
  show (self);
}

void
bl_proving_panel_close (BlProvingPanel *self)
{
  g_return_if_fail (BL_IS_PROVING_PANEL (self));

  g_clear_handle_id (&self->tick, g_source_remove);
  if (!bl_proving_panel_is_open (self))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CLOSED], 0);
}

void
bl_proving_panel_set_bench (BlProvingPanel *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_PROVING_PANEL (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench != NULL)
    {
      g_signal_connect_object (bench, "changed", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (bench, "diagnosed", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
    }
}

/* The first that is not read again, after the one in hand. */
static gboolean
go_next (BlProvingPanel *self)
{
  g_autoptr (GPtrArray) pairs = bl_proving_pairs (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  guint from = 0;

  for (guint i = 0; i < pairs->len; i++)
    if (((BlPair *) bl_at (pairs, i))->item == current)
      from = i + 1;
  for (guint i = 0; i < pairs->len; i++)
    {
      const BlPair *pair = bl_at (pairs, (from + i) % pairs->len);
      if (pair->state != BL_PAIR_UNREAD && pair->state != BL_PAIR_OTHER_CONDITION)
        continue;
      g_autofree char *what = g_strconcat ("go:", bl_measurement_item_get_id (pair->item), NULL);
      act (what, self);
      return TRUE;
    }
  return TRUE;
}

gboolean
bl_proving_panel_key (BlProvingPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_PROVING_PANEL (self), FALSE);
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SHIFT_MASK);

  /* Not while the probe view covers it. */
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)) || self->bench == NULL || modifiers != GDK_ALT_MASK)
    return FALSE;
  switch (gdk_keyval_to_lower (keyval))
    {
    case GDK_KEY_g:
      return go_next (self);
    case GDK_KEY_c:
      act ("checks", self);
      return TRUE;
    case GDK_KEY_o:
      act ("soak", self);
      return TRUE;
    case GDK_KEY_e:
      act ("safety", self);
      return TRUE;
    default:
      return FALSE;
    }
}

/* --- object --- */

static void
bl_proving_panel_dispose (GObject *object)
{
  BlProvingPanel *self = BL_PROVING_PANEL (object);

  g_clear_handle_id (&self->tick, g_source_remove);
  g_clear_weak_pointer (&self->soak);
  g_clear_pointer (&self->heads, g_hash_table_unref);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_proving_panel_parent_class)->dispose (object);
}

static void
bl_proving_panel_class_init (BlProvingPanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_proving_panel_dispose;
  signals[ACT] = g_signal_new ("act", BL_TYPE_PROVING_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                               G_TYPE_STRING);
  signals[CLOSED]
    = g_signal_new ("closed", BL_TYPE_PROVING_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
add_head (BlProvingPanel *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *back = bl_act_button ("bare", _ ("back to the photo"), _ ("Esc"), TRUE);

  gtk_box_append (GTK_BOX (row), bl_label (_ ("Proving"), "choice-title", 0));
  self->since = bl_label ("", "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->since), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->since, TRUE);
  gtk_box_append (GTK_BOX (row), self->since);
  g_signal_connect_swapped (back, "clicked", G_CALLBACK (bl_proving_panel_close), self);
  gtk_box_append (GTK_BOX (row), back);
  gtk_box_append (GTK_BOX (self->box), row);
  self->odds = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->remaining = bl_label ("", "proving-odds", 0);
  gtk_box_append (GTK_BOX (self->odds), self->remaining);
  self->remaining_words = bl_label ("", NULL, 0);
  gtk_label_set_wrap (GTK_LABEL (self->remaining_words), TRUE);
  gtk_widget_set_hexpand (self->remaining_words, TRUE);
  gtk_box_append (GTK_BOX (self->odds), self->remaining_words);
  gtk_box_append (GTK_BOX (self->box), self->odds);
  self->sums = bl_label ("", "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->sums), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (self->box), self->sums);
}

static void
bl_proving_panel_init (BlProvingPanel *self)
{
  self->heads = g_hash_table_new (g_str_hash, g_str_equal);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  add_head (self);
  self->content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_margin_end (self->content, 8); /* the scroll bar is not to lie over words */
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->content);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  bl_widget_name (GTK_WIDGET (self), _ ("Proving"));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
bl_proving_panel_new (void)
{
  return g_object_new (BL_TYPE_PROVING_PANEL, NULL);
}
