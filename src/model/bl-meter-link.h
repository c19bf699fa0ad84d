/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-capture.h"

G_BEGIN_DECLS

/* A bench or handheld meter read live. The drivers run in a process of their own (benchlore-meter), which
 * is ended when it does not answer in time: a meter unplugged, a peer that stays silent or a driver that
 * crashes is a state with words, never a hang. All calls and callbacks belong to the main context. */

typedef struct
{
  char *name;                /* for open and scan */
  char *title;               /* for the screen */
  gboolean takes_connection; /* a serial port or an address can be given; many need it */
  gboolean takes_serialcomm;
} BlMeterDriver;
void bl_meter_driver_free (BlMeterDriver *driver);

/* Drivers that read a meter. finish: (transfer full) of BlMeterDriver by title, or NULL with an error. */
void bl_meter_link_drivers_async (GCancellable *cancellable, GAsyncReadyCallback callback, gpointer data);
GPtrArray *bl_meter_link_drivers_finish (GAsyncResult *result, GError **error);

/* Looks for meters. connection: "tcp-raw/HOST/PORT", "/dev/ttyUSB0", or NULL where the driver finds them
 * itself (USB); serialcomm: "9600/8n1", or NULL for the driver's own.
 * finish: (transfer full) array of names as text (may be empty), or NULL with an error that says why; at
 * the latest after some 15 seconds. */
void bl_meter_link_scan_async (const char *driver, const char *connection, const char *serialcomm,
                               GCancellable *cancellable, GAsyncReadyCallback callback, gpointer data);
GPtrArray *bl_meter_link_scan_finish (GAsyncResult *result, GError **error);

typedef enum
{
  BL_METER_CLOSED,
  BL_METER_SEARCHING, /* being looked for, for the first time or again after it was lost */
  BL_METER_CONNECTED, /* samples come */
  BL_METER_LOST       /* not found, silent, gone; tried again after a while, until closed */
} BlMeterState;

/* Signals:
 *   "sample" (const BlSample *sample)                 a value came; valid during the call
 *   "state" (int state, const char *words)            another state, a sentence for the screen
 *   "trouble" (const char *words)                     a mode could not be set, a line made no sense */
#define BL_TYPE_METER_LINK (bl_meter_link_get_type ())
G_DECLARE_FINAL_TYPE (BlMeterLink, bl_meter_link, BL, METER_LINK, GObject)

BlMeterLink *bl_meter_link_new (void);

/* Connects to the first meter found there and keeps connected until closed; arguments as for scan. What
 * was open before is closed. */
void bl_meter_link_open (BlMeterLink *self, const char *driver, const char *connection, const char *serialcomm);
void bl_meter_link_close (BlMeterLink *self);

BlMeterState bl_meter_link_get_state (BlMeterLink *self);
/* The sentence of the last "state". */
const char *bl_meter_link_get_words (BlMeterLink *self);
/* The meter's own name as it tells it; NULL before it was found. */
const char *bl_meter_link_get_name (BlMeterLink *self);

/* Whether the meter can be told to measure this, and telling it. Nothing happens where it cannot; the
 * mode is set again after a reconnect. */
gboolean bl_meter_link_can_set_mode (BlMeterLink *self, BlMeterMode mode);
void bl_meter_link_set_mode (BlMeterLink *self, BlMeterMode mode);

/* Milliseconds; 0 keeps the one there is. search: finding and opening (15000); silence: without a value
 * once connected (5000); again: before another try (2000). */
void bl_meter_link_set_times (BlMeterLink *self, guint search, guint silence, guint again);

G_END_DECLS
