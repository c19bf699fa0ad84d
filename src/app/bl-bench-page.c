/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench: puts the parts of one job together and carries what they say to each other through the
 * job's model. What is shown on the photo is in bl-bench-view.c, its actions are in bl-bench-actions.c.
 *
 * Every part listens to the model by itself; here are only the things between them: which photo is
 * shown, what a press on it does, where the focus goes. Typing works from
 * anywhere on the page: a key that no part wants begins a value in the entry. What is chosen from a
 * panel is in bl-bench-choices.c; the parts are made in bl-bench-build.c. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-bench-proving.h"
#include "bl-bench-repair.h"
#include "bl-bench-supply-ask.h"
#include "bl-format.h"
#include "bl-proving-panel.h"
#include "bl-safe-settings.h"
#include "bl-settings.h"
#include "bl-shell.h"
#include "bl-style.h"

enum
{
  FREE_ENTRY,
  ENTERING,
  PROVING_DEAD,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlBenchPage, bl_bench_page, GTK_TYPE_WIDGET)

gboolean
bl_bench_page_in_probe (BlBenchPage *self)
{
  return g_strcmp0 (gtk_stack_get_visible_child_name (GTK_STACK (self->stack)), "probe") == 0;
}

/* --- entering --- */

static BlMeasurementItem *
newest_read (BlBenchPage *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  const BlRecord *last = bl_len (records) > 0 ? bl_at (records, records->len - 1) : NULL;

  return last != NULL && last->kind == BL_RECORD_READING ? bl_bench_find (self->bench, last->subject) : NULL;
}

static void
note_kept (BlBenchPage *self)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *time = g_date_time_format (now, "%H:%M:%S");
  g_autofree char *text = g_strdup_printf (_ ("kept %s"), time);

  bl_key_strip_set_note (BL_KEY_STRIP (self->keys), text);
}

/* Where the eyes are: under the entry, or in the probe view. What was typed stays to be mended. */
static void
say (BlBenchPage *self, const char *text, gboolean refused)
{
  bl_focus_panel_say (BL_FOCUS_PANEL (self->focus), text, refused);
  if (bl_bench_page_in_probe (self))
    bl_probe_view_say (BL_PROBE_VIEW (self->probe), text);
}

/* With no job open there is no entry to stand under. */
gboolean
bl_bench_page_check (BlBenchPage *self, gboolean ok, const char *what, GError **error)
{
  g_autoptr (GError) problem = ok ? NULL : g_steal_pointer (error);
  g_autofree char *words = NULL;

  if (ok)
    say (self, NULL, FALSE);
  else if (self->bench == NULL)
    bl_widget_report (GTK_WIDGET (self), what, g_steal_pointer (&problem));
  else
    {
      words = g_strdup_printf ("%s: %s", what, problem != NULL ? problem->message : "?");
      say (self, words, FALSE);
    }
  return ok;
}

void
bl_bench_page_say (BlBenchPage *self, const char *text)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self));
  say (self, text, FALSE);
}

void
bl_bench_page_mended (BlBenchPage *self)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self));
  if (self->bench != NULL)
    say (self, NULL, FALSE);
}

void
bl_bench_page_say_followers (BlBenchPage *self)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self) && self->bench != NULL);
  g_autofree char *words = bl_bench_take_follow_words (self->bench);

  if (words != NULL)
    say (self, words, FALSE);
}

/* TRUE for a text that is asked about now, and was not asked about before. */
static gboolean
ask_once (BlBenchPage *self, const char *text)
{
  g_autofree char *doubt = bl_bench_doubt (self->bench, text);
  gboolean again = g_strcmp0 (self->asked, text) == 0;

  g_clear_pointer (&self->asked, g_free);
  if (doubt == NULL || again)
    return FALSE;
  self->asked = g_strdup (text);
  say (self, doubt, FALSE);
  return TRUE;
}

static gboolean
is_dealt_with (BlBenchPage *self, const char *text)
{
  gboolean dealt = FALSE;

  g_signal_emit (self, signals[ENTERING], 0, text, &dealt);
  return dealt;
}

gboolean
bl_bench_page_proof_is_taken (BlBenchPage *self)
{
  gboolean taken = FALSE;

  g_signal_emit (self, signals[PROVING_DEAD], 0, &taken);
  return taken;
}

void
bl_bench_page_kept (BlBenchPage *self)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self) && self->bench != NULL);
  note_kept (self);
  if (bl_bench_page_in_probe (self))
    bl_probe_view_hold (BL_PROBE_VIEW (self->probe), newest_read (self));
  bl_bench_page_say_followers (self);
  bl_bench_supply_ask (self);
  bl_bench_boxes_ask_denied (self);
}

/* A part typed as replaced is asked about as one chosen is: by what, and why. What was typed with it is not asked. */
static gboolean
ask_replaced (BlBenchPage *self, const char *text)
{
  g_autofree char *component = bl_bench_typed_bare_replaced (self->bench, text);

  if (component == NULL)
    return FALSE;
  say (self, NULL, FALSE);
  bl_focus_panel_clear (BL_FOCUS_PANEL (self->focus));
  bl_bench_repair_ask (self, component);
  return TRUE;
}

gboolean
bl_bench_page_enter (BlBenchPage *self, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH_PAGE (self), FALSE);
  g_autoptr (GError) error = NULL;
  guint before;

  if (self->bench == NULL)
    return FALSE;
  if (is_dealt_with (self, text))
    return TRUE;
  if (ask_once (self, text))
    return FALSE;
  if (ask_replaced (self, text))
    return TRUE;
  before = bl_len (bl_bench_get_records (self->bench));
  if (!bl_bench_enter (self->bench, text, &error))
    {
      say (self, error->message, TRUE);
      return FALSE;
    }
  say (self, NULL, FALSE);
  bl_focus_panel_clear (BL_FOCUS_PANEL (self->focus));
  if (bl_len (bl_bench_get_records (self->bench)) > before)
    bl_bench_page_kept (self);
  return TRUE;
}

void
bl_bench_page_value_entered (GtkWidget *widget, const char *text, BlBenchPage *self)
{
  /* Enter on nothing takes what a live meter shows, else goes on without a reading. */
  if (*text == '\0' && self->bench != NULL)
    {
      if (!is_dealt_with (self, text) && !bl_bench_capture_take (self->capture))
        bl_bench_step (self->bench, 1);
    }
  else
    bl_bench_page_enter (self, text);
}

void
bl_bench_page_previewed (BlFocusPanel *panel, gpointer reading, gpointer verdict, BlBenchPage *self)
{
  bl_measurement_list_set_preview (BL_MEASUREMENT_LIST (self->list), reading, verdict);
}

/* --- refresh --- */

void
bl_bench_page_refresh (BlBenchPage *self)
{
  if (self->bench == NULL)
    return;
  bl_bench_view_fill_sections (self);
  bl_bench_view_show_marks (self);
  bl_bench_wiring_refresh (self);
  bl_bench_actions_update (self);
}

static void
current_changed (BlBenchPage *self)
{
  const char *picture = bl_bench_wiring_picture (self);

  /* The photo follows to the other side only when the point is there. */
  if (picture != NULL && self->photo_key != NULL && !g_str_equal (picture, self->photo_key))
    bl_bench_page_show_photo (self, picture);
  bl_bench_page_refresh (self);
  bl_bench_view_update_probe (self);
  bl_bench_view_reveal (self);
}

/* --- object --- */

static void
bl_bench_page_dispose (GObject *object)
{
  BlBenchPage *self = BL_BENCH_PAGE (object);

  g_clear_pointer (&self->time, bl_bench_time_free);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  if (self->photos != NULL)
    g_signal_handlers_disconnect_by_data (self->photos, self);
  g_clear_object (&self->capture);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->overlay, gtk_widget_unparent);
  g_clear_object (&self->photos);
  g_clear_object (&self->bench);
  g_clear_object (&self->actions);
  G_OBJECT_CLASS (bl_bench_page_parent_class)->dispose (object);
}

static void
bl_bench_page_finalize (GObject *object)
{
  BlBenchPage *self = BL_BENCH_PAGE (object);

  g_free (self->photo_key);
  g_free (self->twin_key);
  g_free (self->pending_mark);
  g_free (self->asked);
  g_free (self->part);
  g_free (self->shown_part);
  g_free (self->fly_key);
  g_free (self->symptom);
  g_free (self->repair_part);
  g_free (self->repair_old);
  g_free (self->repair_new);
  g_free (self->repair_why);
  g_free (self->lamps_role);
  g_strfreev (self->allowed);
  bl_bench_register_forget (self);
  G_OBJECT_CLASS (bl_bench_page_parent_class)->finalize (object);
}

static void
bl_bench_page_class_init (BlBenchPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_bench_page_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_bench_page_finalize;
  signals[FREE_ENTRY] = g_signal_new ("free-entry", BL_TYPE_BENCH_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                      G_TYPE_NONE, 0);
  signals[ENTERING] = g_signal_new ("entering", BL_TYPE_BENCH_PAGE, G_SIGNAL_RUN_LAST, 0,
                                    g_signal_accumulator_true_handled, NULL, NULL, G_TYPE_BOOLEAN, 1, G_TYPE_STRING);
  signals[PROVING_DEAD] = g_signal_new ("proving-dead", BL_TYPE_BENCH_PAGE, G_SIGNAL_RUN_LAST, 0,
                                        g_signal_accumulator_true_handled, NULL, NULL, G_TYPE_BOOLEAN, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static gboolean
focus_now (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  bl_bench_page_focus (BL_BENCH_PAGE (widget));
  return G_SOURCE_REMOVE;
}

/* Not from within mapping: the parts are not all mapped yet. */
static void
focus_later (GtkWidget *widget)
{
  gtk_widget_add_tick_callback (widget, focus_now, NULL, NULL);
}

/* The parts of the bench, with the line of places above them. */
static GtkWidget *
below_places (BlBenchPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  gtk_box_append (GTK_BOX (box), bl_bench_boxes_build (self));
  gtk_widget_set_vexpand (self->layout, TRUE);
  gtk_box_append (GTK_BOX (box), self->layout);
  return box;
}

/* What is still to be kept goes to the log before the page goes. */
static void
leave (BlBenchPage *self)
{
  bl_bench_repair_keep (self);
  if (self->time != NULL)
    bl_bench_time_end (self->time);
}

static void
bl_bench_page_init (BlBenchPage *self)
{
  self->kind = BL_MEASURES_V_DC;
  bl_bench_actions_add (self);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->banner = bl_state_banner_new ();
  self->stack = gtk_stack_new ();
  self->probe = bl_probe_view_new ();
  self->keys = bl_key_strip_new ();
  self->no_job = bl_label (_ ("No job is open. Ctrl 3 shows the jobs, Ctrl N begins one."), "muted", 0.5);
  bl_bench_build_layout (self);
  g_signal_connect (self->probe, "entered", G_CALLBACK (bl_bench_page_value_entered), self);
  gtk_stack_set_transition_type (GTK_STACK (self->stack), GTK_STACK_TRANSITION_TYPE_NONE);
  gtk_stack_set_hhomogeneous (GTK_STACK (self->stack), FALSE);
  gtk_stack_set_vhomogeneous (GTK_STACK (self->stack), FALSE);
  gtk_stack_add_named (GTK_STACK (self->stack), self->no_job, "none");
  gtk_stack_add_named (GTK_STACK (self->stack), below_places (self), "bench");
  gtk_stack_add_named (GTK_STACK (self->stack), self->probe, "probe");
  gtk_widget_set_vexpand (self->stack, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->banner);
  gtk_box_append (GTK_BOX (self->box), self->stack);
  gtk_box_append (GTK_BOX (self->box), self->keys);
  self->overlay = gtk_overlay_new ();
  gtk_overlay_set_child (GTK_OVERLAY (self->overlay), self->box);
  gtk_overlay_add_overlay (GTK_OVERLAY (self->overlay), self->choice);
  gtk_widget_set_parent (self->overlay, GTK_WIDGET (self));
  g_signal_connect (self, "map", G_CALLBACK (focus_later), NULL);
  g_signal_connect (self, "unrealize", G_CALLBACK (leave), NULL);
  g_signal_connect_swapped (self->probe, "shown", G_CALLBACK (bl_bench_view_update_probe), self);
  gtk_widget_set_visible (self->banner, FALSE);
  gtk_widget_set_visible (self->keys, FALSE);
}

static void
scale_changed (BlBenchPage *self)
{
  GSettings *settings = bl_settings ();

  if (settings != NULL)
    bl_probe_view_set_scale (BL_PROBE_VIEW (self->probe), g_settings_get_double (settings, "probe-scale"));
}

GtkWidget *
bl_bench_page_new (BlLibrary *library)
{
  BlBenchPage *self = g_object_new (BL_TYPE_BENCH_PAGE, NULL);
  GSettings *settings = bl_settings ();

  self->library = library;
  if (settings != NULL)
    {
      bl_measurement_list_set_folded (BL_MEASUREMENT_LIST (self->list),
                                      g_settings_get_boolean (settings, "fold-in-band"));
      g_signal_connect_object (settings, "changed::probe-scale", G_CALLBACK (scale_changed), self, G_CONNECT_SWAPPED);
    }
  scale_changed (self);
  self->capture = bl_bench_capture_new (self);
  self->time = bl_bench_time_new (self);
  return GTK_WIDGET (self);
}

gboolean
bl_bench_page_is_provisional (BlBenchPage *self)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (self->library, TRUE, NULL);
  gint64 board = bl_bench_get_job (self->bench)->board;

  for (guint i = 0; i < bl_len (rows); i++)
    if (((BlBoardRow *) bl_at (rows, i))->id == board)
      return ((BlBoardRow *) bl_at (rows, i))->provisional;
  return FALSE;
}

static void
forget_job (BlBenchPage *self)
{
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  if (self->photos != NULL)
    g_signal_handlers_disconnect_by_data (self->photos, self);
  g_clear_object (&self->photos);
  g_clear_pointer (&self->photo_key, g_free);
  g_clear_pointer (&self->twin_key, g_free);
  g_clear_pointer (&self->pending_mark, g_free);
  g_clear_pointer (&self->asked, g_free);
  g_clear_pointer (&self->shown_part, g_free);
  bl_bench_find_forget (self);
  bl_bench_register_forget (self);
  bl_key_strip_set_note (BL_KEY_STRIP (self->keys), "");
  bl_choice_panel_close (BL_CHOICE_PANEL (self->choice));
  bl_why_panel_close (BL_WHY_PANEL (self->why));
  bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
}

/* The measurement read last, whatever was noted since; NULL: none was. */
static BlMeasurementItem *
last_read (BlBenchPage *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);

  for (guint i = bl_len (records); i > 0; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->kind == BL_RECORD_READING && !record->struck)
        return bl_bench_find (self->bench, record->subject);
    }
  return NULL;
}

/* A job is taken up again after the last reading, at the next measurement nobody has read: of those in the
 * state the board is in, if there are any left. */
static void
select_unread (BlBenchPage *self)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *last = last_read (self), *elsewhere = NULL;
  const BlState *state = bl_bench_get_state (self->bench);
  guint n = g_list_model_get_n_items (model), start = 0;

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (item == last)
        start = i;
    }
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, (start + i) % n);
      if (bl_measurement_item_get_record (item) != NULL)
        continue;
      if (state == NULL || g_strcmp0 (bl_measurement_item_get_measurement (item)->state, state->id) == 0)
        {
          bl_bench_select (self->bench, item);
          return;
        }
      if (elsewhere == NULL)
        elsewhere = item;
    }
  if (elsewhere != NULL)
    bl_bench_select (self->bench, elsewhere);
}

void
bl_bench_page_set_bench (BlBenchPage *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self) && BL_IS_BENCH (bench));
  GPtrArray *photos;

  bl_bench_repair_keep (self);
  forget_job (self);
  g_set_object (&self->bench, bench);
  /* Time is counted on jobs; a drill is not about time. */
  bl_bench_time_set_bench (self->time, self->use == BL_BENCH_FOR_JOBS ? bench : NULL);
  self->photos = bl_bench_photos_new (self->library, bench);
  self->provisional = bl_bench_page_is_provisional (self);
  if (self->use == BL_BENCH_FOR_JOBS)
    bl_bench_meter_begin (self);
  bl_safe_settings_follow (bench);
  g_signal_connect_object (self->photos, "loaded", G_CALLBACK (bl_bench_view_loaded), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "changed", G_CALLBACK (bl_bench_page_refresh), self, G_CONNECT_SWAPPED);
  /* After the panels: what can be done depends on what they offer. */
  g_signal_connect_object (bench, "diagnosed", G_CALLBACK (bl_bench_page_refresh), self,
                           G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (current_changed), self, G_CONNECT_SWAPPED);
  bl_state_banner_set_bench (BL_STATE_BANNER (self->banner), bench);
  bl_focus_panel_set_bench (BL_FOCUS_PANEL (self->focus), bench);
  bl_measurement_list_set_bench (BL_MEASUREMENT_LIST (self->list), bench);
  bl_why_panel_set_bench (BL_WHY_PANEL (self->why), bench);
  bl_suspects_view_set_bench (BL_SUSPECTS_VIEW (self->suspects), bench);
  bl_next_view_set_bench (BL_NEXT_VIEW (self->next), bench);
  bl_tree_view_set_bench (BL_TREE_VIEW (self->tree), bench);
  bl_tree_pane_set_bench (BL_TREE_PANE (self->chart), bench);
  bl_log_view_set_bench (BL_LOG_VIEW (self->log), bench);
  bl_proving_panel_set_bench (BL_PROVING_PANEL (self->proving), bench);
  bl_probe_view_set_bench (BL_PROBE_VIEW (self->probe), bench);
  bl_bench_wiring_begin (self);
  photos = bl_bench_photos_list (self->photos);
  bl_bench_page_show_photo (self, bl_len (photos) > 0 ? ((BlBenchPhoto *) bl_at (photos, 0))->key : NULL);
  gtk_widget_set_visible (self->banner, self->use != BL_BENCH_FOR_REPLAY); /* then nothing on the bench is live */
  gtk_widget_set_visible (self->keys, TRUE);
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), "bench");
  select_unread (self);
  current_changed (self);
  bl_bench_capture_set_bench (self->capture, bench);
  bl_bench_boxes_begin (self);
}

BlBench *
bl_bench_page_get_bench (BlBenchPage *self)
{
  g_return_val_if_fail (BL_IS_BENCH_PAGE (self), NULL);
  return self->bench;
}

GActionGroup *
bl_bench_page_get_actions (BlBenchPage *self)
{
  g_return_val_if_fail (BL_IS_BENCH_PAGE (self), NULL);
  return G_ACTION_GROUP (self->actions);
}

void
bl_bench_page_focus (BlBenchPage *self)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self));
  if (self->bench == NULL || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  if (self->use == BL_BENCH_FOR_REPLAY && !bl_bench_page_in_probe (self))
    gtk_widget_grab_focus (self->panel);
  else if (bl_bench_page_in_probe (self))
    bl_probe_view_focus (BL_PROBE_VIEW (self->probe));
  else
    bl_focus_panel_focus (BL_FOCUS_PANEL (self->focus));
}

/* A printable key while the photo or a list has the focus begins a value in the entry. */
static gboolean
begin_typing (BlBenchPage *self, guint keyval, GdkModifierType state)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gunichar letter = gdk_keyval_to_unicode (keyval);
  char text[8] = "";

  if (focus != NULL && GTK_IS_EDITABLE (focus))
    return FALSE;
  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK) || !g_unichar_isalnum (letter) || letter == 'z' || letter == 'Z')
    return FALSE;
  bl_bench_page_focus (self);
  focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  if (!GTK_IS_EDITABLE (focus))
    return FALSE;
  g_unichar_to_utf8 (letter, text);
  gtk_editable_set_text (GTK_EDITABLE (focus), text);
  gtk_editable_set_position (GTK_EDITABLE (focus), -1);
  return TRUE;
}

gboolean
bl_bench_page_key (BlBenchPage *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_BENCH_PAGE (self), FALSE);
  if (self->bench == NULL)
    return FALSE;
  if (bl_choice_panel_is_open (BL_CHOICE_PANEL (self->choice)))
    return bl_choice_panel_key (BL_CHOICE_PANEL (self->choice), keyval, state);
  gboolean used = FALSE;
  if (bl_bench_told_key (self, keyval, state, &used))
    return used;
  if (bl_layers_panel_key (BL_LAYERS_PANEL (self->layers), keyval, state))
    return TRUE;
  if (bl_fault_panel_key (BL_FAULT_PANEL (self->shown), keyval, state)
      || bl_why_panel_key (BL_WHY_PANEL (self->why), keyval, state)
      || bl_proving_panel_key (BL_PROVING_PANEL (self->proving), keyval, state))
    return TRUE;
  if (bl_bench_wiring_key (self, keyval, state))
    return TRUE;
  if (bl_bench_register_key (self, keyval, state) || bl_bench_capture_key (self->capture, keyval, state))
    return TRUE;
  return begin_typing (self, keyval, state);
}
