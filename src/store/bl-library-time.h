/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Subject of a line of kind time whose minutes nobody typed: they were counted. Any other subject is what they were
 * for. */
#define BL_TIME_COUNTED "counted"
