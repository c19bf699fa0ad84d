/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <jansson.h>
#include <libsigrok/libsigrok.h>

#include "bl-capture.h"

/* The parts of benchlore-meter. */

/* One JSON object as a line on standard output. Takes object. */
void meter_print (json_t *object);
/* {"error": WORDS}, the library's last complaint behind it. */
void meter_print_error (const char *words);

/* What a packet of the library means. FALSE where it has no value of the channel. The values are
 * appended to values, all with what sample says of mode, digits and flags. */
gboolean meter_samples (const struct sr_datafeed_analog *analog, const struct sr_channel *channel, BlSample *sample,
                        GArray *values);
/* Quantity and flags for sr_config_set (); FALSE where the library has none for the mode. */
gboolean meter_quantity (BlMeterMode mode, guint32 *quantity, guint64 *flags);

/* From now on the process ends with its standard input, even when a driver blocks for ever. */
void meter_wait_for_commands (void);
/* Opens the device and prints its values until standard input ends. Returns the exit status. */
int meter_read (struct sr_context *context, struct sr_dev_driver *driver, struct sr_dev_inst *device);
