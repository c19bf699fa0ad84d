/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is chosen on the bench: meter, parts, marks, rounds, symptoms,
 * striking, twins. Each opens the one choice panel and acts on the answer; what takes two answers opens
 * it twice. Nothing here blocks the work: the panel can be left with Esc at any time.
 * Board state and proof of dead are in bl-bench-states.c. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-equipment.h"
#include "bl-bench-page-private.h"
#include "bl-bench-proving.h"
#include "bl-bench-repair.h"
#include "bl-bench-supply-ask.h"
#include "bl-expected.h"
#include "bl-format.h"
#include "bl-image-check.h"
#include "bl-measurement-row.h"
#include "bl-safe.h"
#include "bl-shell.h"
#include "bl-style.h"

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

void
bl_bench_choices_open (BlBenchPage *self, BlPlace near)
{
  gboolean top = near == BL_PLACE_FOCUS, right = top || near == BL_PLACE_LOG;
  graphene_rect_t focus;
  int below = 176;

  /* Beside what it is about: below the focus panel at the right, or at the foot. */
  gtk_widget_set_halign (self->choice, right ? GTK_ALIGN_END : GTK_ALIGN_START);
  gtk_widget_set_valign (self->choice, top ? GTK_ALIGN_START : GTK_ALIGN_END);
  if (gtk_widget_get_mapped (self->focus) && gtk_widget_compute_bounds (self->focus, self->overlay, &focus))
    below = (int) (focus.origin.y + focus.size.height) + 4;
  gtk_widget_set_margin_top (self->choice, top ? below : 44);
  gtk_widget_set_margin_bottom (self->choice, top ? 4 : 28);
  gtk_widget_set_margin_start (self->choice, near == BL_PLACE_NEXT ? 318 : 12);
  gtk_widget_set_margin_end (self->choice, 12);
  /* Another question ends those about a replacement. */
  if (!g_str_has_prefix (bl_choice_panel_get_tag (panel (self)), "replaced-"))
    bl_bench_repair_keep (self);
  bl_choice_panel_open (panel (self));
}

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

/* --- meter --- */

static void
ask_meter (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  bl_bench_meter_ask (self);
}

/* --- parts --- */

static void
ask_part (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  guint n = 0;

  bl_choice_panel_begin (panel (self), "part", _ ("Which part was tested, or replaced?"), NULL);
  for (guint i = 0; diagnosis != NULL && i < bl_len (diagnosis->components) && n < 9; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      const BlComponent *component = bl_board_component (board, odd->id);
      g_autofree char *odds = bl_format_odds (odd->probability);
      if (component == NULL)
        continue;
      g_autofree char *kind = bl_format_kind (component->kind);
      g_autofree char *text = g_strdup_printf ("%s  %s", component->id, titled (component->title, kind));
      bl_choice_panel_add (panel (self), 0, text, odds, component->id);
      n++;
    }
  bl_choice_panel_add (panel (self), 'o', _ ("another part …"), NULL, "other:");
  /* Who types a designator means that part, not the row of its figure. */
  bl_choice_panel_set_offer (panel (self));
  bl_bench_choices_open (self, BL_PLACE_NEXT);
}

void
bl_bench_choices_part (BlBenchPage *self, const char *component)
{
  const BlComponent *found = bl_board_component (bl_bench_get_board (self->bench), component);
  g_autofree char *title = NULL;

  if (found == NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("There is no such part on this board."));
      return;
    }
  g_free (self->part);
  self->part = g_strdup (component);
  title = g_strdup_printf (_ ("%s: what became of it?"), component);
  bl_choice_panel_begin (panel (self), "result", title, found->value);
  bl_choice_panel_add (panel (self), 'g', _ ("tested good"), NULL, "good");
  for (guint i = 0; i < bl_len (found->modes); i++)
    {
      const BlMode *mode = bl_at (found->modes, i);
      g_autofree char *text = g_strdup_printf (_ ("tested: %s"), mode->mode);
      g_autofree char *id = g_strdup_printf ("mode:%s", mode->mode);
      bl_choice_panel_add (panel (self), 0, text, NULL, id);
    }
  bl_choice_panel_add (panel (self), 'b', _ ("looks burnt (a mark, no test)"), NULL, "burnt");
  bl_choice_panel_add (panel (self), 'r', _ ("replaced, or put right where it is; a new round begins"), NULL, "replaced");
  bl_bench_choices_open (self, BL_PLACE_NEXT);
}

void
bl_bench_choices_after_replaced (BlBenchPage *self, const char *component)
{
  if (bl_safe_is_hot_part (bl_bench_get_board (self->bench), component))
    bl_widget_notify (GTK_WIDGET (self), _ ("Before power comes back: resistance of the bus, a current-limited "
                                            "supply, and a way to discharge."));
  bl_bench_causes_offer (self, component);
}

static void
part_result (BlBenchPage *self, const char *id)
{
  g_autofree char *part = g_steal_pointer (&self->part);
  const BlComponent *component = part != NULL ? bl_board_component (bl_bench_get_board (self->bench), part) : NULL;
  GError *error = NULL;
  gboolean ok;

  if (component == NULL)
    return;
  if (g_str_equal (id, "replaced"))
    {
      bl_bench_repair_ask (self, part);
      return;
    }
  if (g_str_equal (id, "burnt"))
    {
      g_autofree char *text = g_strdup_printf (_ ("%s looks burnt"), part);
      ok = component->photo != NULL && !isnan (component->x)
             ? bl_bench_mark (self->bench, text, component->photo, component->x, component->y, &error)
             : bl_bench_note (self->bench, text, &error);
    }
  else
    ok = bl_bench_part (self->bench, part, g_str_has_prefix (id, "mode:") ? id + 5 : id, &error);
  bl_bench_page_check (self, ok, part, &error);
}

/* --- striking --- */

static void
ask_strike (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GPtrArray *records = bl_bench_get_records (self->bench);
  guint n = 0;

  bl_choice_panel_begin (panel (self), "strike", _ ("Strike which line of the log?"),
                         _ ("It stays in the log, struck through, and counts no more."));
  for (guint i = bl_len (records); i > 0 && n < 9; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->struck)
        continue;
      g_autofree char *rest = NULL;
      g_autofree char *text = bl_record_words (self->bench, record, &rest);
      g_autofree char *id = g_strdup_printf ("%" G_GINT64_FORMAT, record->id);
      bl_choice_panel_add (panel (self), 0, text, rest, id);
      n++;
    }
  bl_bench_choices_open (self, BL_PLACE_LOG);
}

void
bl_bench_choices_strike (BlBenchPage *self, gint64 record)
{
  self->striking = record;
  bl_choice_panel_begin (panel (self), "strike-reason", _ ("Why is it struck?"), NULL);
  bl_choice_panel_add_entry (panel (self), _ ("probe slipped, wrong range …"), NULL);
  bl_bench_choices_open (self, BL_PLACE_LOG);
}

/* --- rounds, symptoms, marks --- */

static void
ask_round (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  bl_choice_panel_begin (panel (self), "round", _ ("Begin a new round: what is different now?"),
                         _ ("Readings from before stay, and are told apart from those after."));
  bl_choice_panel_add (panel (self), 0, _ ("wet"), NULL, "wet");
  bl_choice_panel_add (panel (self), 0, _ ("hot"), NULL, "hot");
  bl_choice_panel_add (panel (self), 0, _ ("cold"), NULL, "cold");
  bl_choice_panel_add (panel (self), 0, _ ("tapped"), NULL, "tapped");
  bl_choice_panel_add (panel (self), 0, _ ("nothing"), NULL, "");
  bl_choice_panel_add (panel (self), 'o', _ ("in other words …"), NULL, "other:");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
ask_symptom (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlBoard *board = bl_bench_get_board (self->bench);

  bl_choice_panel_begin (panel (self), "symptom", _ ("Which symptom?"), NULL);
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, i);
      bl_choice_panel_add (panel (self), 0, titled (symptom->title, symptom->id),
                           bl_bench_role_of (self->bench, symptom->id), symptom->id);
    }
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
ask_symptom_shown (BlBenchPage *self, const char *id)
{
  const BlSymptom *symptom = bl_board_symptom (bl_bench_get_board (self->bench), id);

  if (symptom == NULL)
    return;
  g_free (self->symptom);
  self->symptom = g_strdup (id);
  bl_choice_panel_begin (panel (self), "symptom-shown", titled (symptom->title, id), NULL);
  bl_choice_panel_add (panel (self), 'y', _ ("shows now"), NULL, "yes");
  bl_choice_panel_add (panel (self), 'n', _ ("does not show"), NULL, "no");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
ask_mark (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  bl_choice_panel_begin (panel (self), "mark", _ ("Mark what on the photo?"), _ ("Then press the place."));
  bl_choice_panel_add (panel (self), 0, _ ("burn"), NULL, _ ("burn"));
  bl_choice_panel_add (panel (self), 0, _ ("corrosion"), NULL, _ ("corrosion"));
  bl_choice_panel_add (panel (self), 0, _ ("cracked joint"), NULL, _ ("cracked joint"));
  bl_choice_panel_add (panel (self), 0, _ ("lifted leg"), NULL, _ ("lifted leg"));
  bl_choice_panel_add (panel (self), 0, _ ("bodge of an earlier repair"), NULL, _ ("earlier repair"));
  bl_choice_panel_add (panel (self), 'o', _ ("in other words …"), NULL, "other:");
  bl_bench_choices_open (self, BL_PLACE_SUSPECTS);
}

static void
set_pending_mark (BlBenchPage *self, const char *text)
{
  g_free (self->pending_mark);
  self->pending_mark = g_strdup (text);
  bl_widget_notify (GTK_WIDGET (self), _ ("Press the place on the photo."));
}

void
bl_bench_choices_ask (BlBenchPage *self, const char *tag, const char *title, const char *placeholder,
                      const char *initial, BlPlace near)
{
  bl_choice_panel_begin (panel (self), tag, title, NULL);
  bl_choice_panel_add_entry (panel (self), placeholder, initial);
  bl_bench_choices_open (self, near);
}

/* --- measurements of a board from a photo alone --- */

static void
ask_kind (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  static const BlMeasures kinds[] = { BL_MEASURES_V_DC, BL_MEASURES_V_AC, BL_MEASURES_OHM,  BL_MEASURES_DIODE,
                                      BL_MEASURES_CONTINUITY, BL_MEASURES_HZ, BL_MEASURES_CHECK };
  BlBenchPage *self = data;

  bl_choice_panel_begin (panel (self), "kind", _ ("What is measured at the point in hand?"),
                         _ ("Points added from now on are the same."));
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    bl_choice_panel_add (panel (self), 0, bl_measures_name (kinds[i]), NULL, bl_measures_name (kinds[i]));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

void
bl_bench_choices_expected (BlBenchPage *self)
{
  BlMeasurementItem *item = bl_bench_get_current (self->bench);

  if (item != NULL)
    {
      g_autofree char *now = bl_expected_to_text (bl_measurement_item_get_measurement (item));
      bl_bench_choices_ask (self, "expected", _ ("What is expected at this point?"), _ ("12 V ±5 %, or 4.8..5.2 V"),
                            now, BL_PLACE_FOCUS);
    }
}

static void
ask_expected (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_bench_choices_expected (data);
}

static void
set_kind (BlBenchPage *self, const char *name)
{
  BlMeasurementItem *item = bl_bench_get_current (self->bench);
  BlEdition *edition = bl_bench_get_edition (self->bench);
  GError *error = NULL;
  BlMeasures kind;

  if (!bl_measures_parse (name, &kind))
    return;
  self->kind = kind;
  if (item == NULL || bl_measurement_item_get_record (item) != NULL)
    return;
  BlBoard *board = bl_edition_begin (edition, _ ("change what is measured"), NULL);
  bl_board_measurement (board, bl_measurement_item_get_id (item))->measures = kind;
  bl_bench_page_check (self, bl_edition_commit (edition, &error), _ ("What is measured"), &error);
}

/* --- twin --- */

static void
ask_twin (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GPtrArray *own = bl_bench_photos_list (self->photos);
  g_autoptr (GPtrArray) others = bl_bench_photos_twins (self->photos);

  if (self->twin_key != NULL)
    {
      bl_bench_page_show_twin (self, NULL);
      return;
    }
  bl_choice_panel_begin (panel (self), "twin", _ ("Which photo beside this one?"), NULL);
  for (guint i = 0; i < bl_len (own); i++)
    {
      const BlBenchPhoto *photo = bl_at (own, i);
      if (g_strcmp0 (photo->key, self->photo_key) != 0 && photo->own)
        bl_choice_panel_add (panel (self), 0, photo->title, _ ("this board"), photo->key);
    }
  for (guint i = 0; i < others->len; i++)
    {
      const BlBenchPhoto *photo = bl_at (others, i);
      bl_choice_panel_add (panel (self), 0, photo->title, _ ("twin"), photo->key);
    }
  bl_choice_panel_add (panel (self), 'o', _ ("a file …"), NULL, "file:");
  bl_bench_choices_open (self, BL_PLACE_SUSPECTS);
}

/* --- photos of the job --- */

static void
photo_chosen (GtkNativeDialog *dialog, int response, BlBenchPage *self)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *data = NULL;
  GError *error = NULL;
  gsize size;
  gint64 id;

  if (response == GTK_RESPONSE_ACCEPT && file != NULL)
    {
      g_autofree char *name = g_file_get_basename (file);
      g_autofree char *unread = g_strdup_printf (_ ("The photo “%s” cannot be read"), name);
      g_autofree char *unkept = g_strdup_printf (_ ("The photo “%s” was not kept"), name);
      if (!g_file_load_contents (file, NULL, &data, &size, NULL, &error))
        bl_bench_page_check (self, FALSE, unread, &error);
      else
        {
          g_autoptr (GBytes) image = g_bytes_new_take (g_steal_pointer (&data), size);
          g_autofree char *mime = bl_photo_mime (image);
          id = bl_image_check (image, name, &error)
                 ? bl_bench_add_photo (self->bench, NULL, mime != NULL ? mime : "image/jpeg", image, &error)
                 : 0;
          if (bl_bench_page_check (self, id != 0, unkept, &error))
            {
              g_autofree char *key = g_strdup_printf ("job:%" G_GINT64_FORMAT, id);
              bl_bench_page_show_photo (self, key);
            }
        }
    }
  g_clear_object (&self->chooser);
}

static void
add_photo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  g_autoptr (GtkFileFilter) images = gtk_file_filter_new ();

  if (self->chooser != NULL)
    return;
  gtk_file_filter_set_name (images, _ ("Photos"));
  gtk_file_filter_add_mime_type (images, "image/*");
  self->chooser = gtk_file_chooser_native_new (_ ("Photo for this job"),
                                               GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))),
                                               GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), images);
  g_signal_connect (self->chooser, "response", G_CALLBACK (photo_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* --- answers --- */

static void
entered_words (BlBenchPage *self, const char *tag, const char *words)
{
  GError *error = NULL;
  BlMeasurementItem *item = bl_bench_get_current (self->bench);

  if (bl_bench_causes_entered (self, tag, words) || bl_bench_repair_entered (self, tag, words)
      || bl_bench_proving_entered (self, tag, words) || bl_bench_time_entered (self, tag, words))
    return;
  if (g_str_equal (tag, "proof"))
    bl_bench_page_check (self, bl_bench_take_proof (self->bench, words, &error), _ ("Proof of dead"), &error);
  else if (g_str_has_prefix (tag, "board-"))
    bl_bench_name_entered (self, tag, words);
  else if (g_str_equal (tag, "meter"))
    bl_bench_page_check (self, bl_bench_set_meter (self->bench, words, &error), _ ("Meter"), &error);
  else if (g_str_equal (tag, "other-part"))
    bl_bench_choices_part (self, words);
  else if (g_str_equal (tag, "strike-reason"))
    bl_bench_page_check (self, bl_bench_strike (self->bench, self->striking, words, &error), _ ("Strike"), &error);
  else if (g_str_equal (tag, "other-round"))
    bl_bench_page_check (self, bl_bench_begin_round (self->bench, words, &error), _ ("New round"), &error);
  else if (g_str_equal (tag, "other-mark"))
    set_pending_mark (self, words);
  else if (g_str_equal (tag, "expected") && item != NULL)
    bl_bench_page_check (self,
                         bl_edition_set_expected (bl_bench_get_edition (self->bench), bl_measurement_item_get_id (item),
                                                  words, &error),
                         _ ("Expected value"), &error);
}

static void
chosen_row (BlBenchPage *self, const char *tag, const char *id)
{
  GError *error = NULL;
  gboolean other = g_str_equal (id, "other:");

  if (bl_bench_supply_chosen (self, tag, id) || bl_bench_causes_chosen (self, tag, id)
      || bl_bench_good_chosen (self, tag, id) || bl_bench_told_chosen (self, tag, id)
      || bl_bench_boxes_chosen (self, tag, id) || bl_bench_proving_chosen (self, tag, id)
      || bl_bench_report_chosen (self, tag, id) || bl_bench_label_chosen (self, tag, id))
    return;
  if (g_str_equal (id, "proof:"))
    bl_bench_states_ask_proof (self);
  else if (g_str_equal (tag, "meter"))
    bl_bench_meter_chosen (self, id);
  else if (g_str_equal (tag, "state"))
    bl_bench_states_declare (self, id);
  else if (g_str_equal (tag, "part") && other)
    bl_bench_choices_ask (self, "other-part", _ ("Which part?"), _ ("K1"), NULL, BL_PLACE_NEXT);
  else if (g_str_equal (tag, "part"))
    bl_bench_choices_part (self, id);
  else if (g_str_equal (tag, "result"))
    part_result (self, id);
  else if (g_str_equal (tag, "strike"))
    bl_bench_choices_strike (self, g_ascii_strtoll (id, NULL, 10));
  else if (g_str_equal (tag, "round") && other)
    bl_bench_choices_ask (self, "other-round", _ ("What is different now?"), _ ("cover off, fan stopped …"), NULL,
                          BL_PLACE_FOCUS);
  else if (g_str_equal (tag, "round"))
    bl_bench_page_check (self, bl_bench_begin_round (self->bench, id, &error), _ ("New round"), &error);
  else if (g_str_equal (tag, "symptom"))
    ask_symptom_shown (self, id);
  else if (g_str_equal (tag, "symptom-shown") && self->symptom != NULL)
    bl_bench_page_check (self, bl_bench_symptom (self->bench, self->symptom, g_str_equal (id, "yes"), &error),
                         _ ("Symptom"), &error);
  else if (g_str_equal (tag, "mark") && other)
    bl_bench_choices_ask (self, "other-mark", _ ("Mark: in your words"), _ ("track cut"), NULL, BL_PLACE_SUSPECTS);
  else if (g_str_equal (tag, "mark"))
    set_pending_mark (self, id);
  else if (g_str_equal (tag, "kind"))
    set_kind (self, id);
  else if (g_str_equal (tag, "twin") && g_str_equal (id, "file:"))
    add_photo (NULL, NULL, self);
  else if (g_str_equal (tag, "twin"))
    bl_bench_page_show_twin (self, id);
}

void
bl_bench_choices_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  if (self->bench == NULL)
    return;
  if (*id == '=')
    entered_words (self, tag, id + 1);
  else
    chosen_row (self, tag, id);
  if (!bl_choice_panel_is_open (panel (self)))
    bl_bench_page_focus (self);
}

void
bl_bench_choices_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = {
    { "meter", ask_meter, NULL, NULL, NULL, { 0 } },
    { "part", ask_part, NULL, NULL, NULL, { 0 } },
    { "strike", ask_strike, NULL, NULL, NULL, { 0 } },
    { "round", ask_round, NULL, NULL, NULL, { 0 } },
    { "symptom", ask_symptom, NULL, NULL, NULL, { 0 } },
    { "mark", ask_mark, NULL, NULL, NULL, { 0 } },
    { "kind", ask_kind, NULL, NULL, NULL, { 0 } },
    { "expected", ask_expected, NULL, NULL, NULL, { 0 } },
    { "twin", ask_twin, NULL, NULL, NULL, { 0 } },
    { "add-photo", add_photo, NULL, NULL, NULL, { 0 } },
  };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
  bl_bench_states_add_actions (self);
  bl_bench_why_add_actions (self);
  bl_bench_shown_add_actions (self);
  bl_bench_causes_add_actions (self);
  bl_bench_good_add_actions (self);
  bl_bench_boxes_add_actions (self);
  bl_bench_proving_add_actions (self);
  bl_bench_time_add_actions (self);
}
