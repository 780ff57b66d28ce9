/* Reading JPEG. */
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>

#include <jerror.h>

#include "photo/image_job.h"

/* Passes over a progressive picture. Cameras and editors make a dozen; a small file with thousands
 * of them would keep us busy for hours. */
#define SCANS_MOST 200

#define APP1 (JPEG_APP0 + 1)
#define EXIF_HEAD "Exif\0" /* and a NUL */

/* Behind a pointer, so that it is whole after libjpeg's errors have jumped back. */
struct reading {
	struct jpeg_decompress_struct jpeg;
	struct jpeg_error_mgr errors;
	struct jpeg_progress_mgr progress;
	jmp_buf back;
	struct lt_image_job *job;
};

static void fail(j_common_ptr jpeg)
{
	struct reading *reading = jpeg->client_data;
	char message[JMSG_LENGTH_MAX];
	jpeg->err->format_message(jpeg, message);
	snprintf(reading->job->why, sizeof(reading->job->why), "%s", message);
	longjmp(reading->back, 1);
}

/* Of what libjpeg warns and goes on, all but this is damage that may show. */
static void judge_message(j_common_ptr jpeg, int level)
{
	int code = jpeg->err->msg_code;
	if (level < 0 && code != JWRN_EXTRANEOUS_DATA && code != JWRN_ADOBE_XFORM &&
		code != JWRN_JFIF_MAJOR)
		fail(jpeg);
}

static void say_nothing(j_common_ptr jpeg)
{
	(void)jpeg;
}

static void watch_scans(j_common_ptr jpeg)
{
	struct reading *reading = jpeg->client_data;
	if (!jpeg->is_decompressor || reading->jpeg.input_scan_number <= SCANS_MOST)
		return;
	snprintf(reading->job->why, sizeof(reading->job->why), "it has more than %d scans",
		SCANS_MOST);
	longjmp(reading->back, 1);
}

static void take_exif(struct lt_image_job *job, const struct jpeg_decompress_struct *jpeg)
{
	const size_t head = sizeof(EXIF_HEAD);
	for (jpeg_saved_marker_ptr at = jpeg->marker_list; at != NULL; at = at->next) {
		if (at->marker == APP1 && at->data_length > head &&
			memcmp(at->data, EXIF_HEAD, head) == 0) {
			lt_image_take_exif(job, at->data + head, at->data_length - head);
			return;
		}
	}
}

/* The library halves by leaving out fine detail while it decodes, which is much faster; what is
 * left to do after that is the scaler's. */
static void choose_scale(struct jpeg_decompress_struct *jpeg, const struct lt_image *image)
{
	jpeg->scale_num = 1;
	for (jpeg->scale_denom = 8; jpeg->scale_denom > 1; jpeg->scale_denom /= 2) {
		if (jpeg->image_width / jpeg->scale_denom >= image->width &&
			jpeg->image_height / jpeg->scale_denom >= image->height)
			return;
	}
}

static bool read_all(struct reading *reading)
{
	struct lt_image_job *job = reading->job;
	struct jpeg_decompress_struct *jpeg = &reading->jpeg;
	if (setjmp(reading->back) != 0)
		return false;
	jpeg_create_decompress(jpeg);
	jpeg->progress = &reading->progress;
	jpeg_save_markers(jpeg, APP1, 0xFFFF);
	jpeg_mem_src(jpeg, job->bytes, (unsigned long)job->length);
	jpeg_read_header(jpeg, TRUE);
	if (!lt_image_note_size(job, jpeg->image_width, jpeg->image_height))
		return false;
	if (jpeg->jpeg_color_space == JCS_CMYK || jpeg->jpeg_color_space == JCS_YCCK) {
		job->fault = LT_IMAGE_INKS;
		return false;
	}
	take_exif(job, jpeg);
	choose_scale(jpeg, &job->image);
	jpeg->out_color_space = JCS_RGB;
	jpeg_start_decompress(jpeg);
	lt_image_start_rows(job, jpeg->output_width, jpeg->output_height);
	while (jpeg->output_scanline < jpeg->output_height) {
		if (jpeg_read_scanlines(jpeg, &job->scaler.line, 1) == 1)
			lt_image_take_row(job);
	}
	jpeg_finish_decompress(jpeg);
	return true;
}

bool lt_image_read_jpeg(struct lt_image_job *job)
{
	struct reading *reading = lt_alloc_array(1, sizeof(*reading));
	reading->job = job;
	reading->jpeg.err = jpeg_std_error(&reading->errors);
	reading->jpeg.client_data = reading;
	reading->errors.error_exit = fail;
	reading->errors.emit_message = judge_message;
	reading->errors.output_message = say_nothing;
	reading->progress.progress_monitor = watch_scans;
	bool good = read_all(reading);
	jpeg_destroy_decompress(&reading->jpeg);
	free(reading);
	return good;
}
