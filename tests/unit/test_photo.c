/* Photographs of connectors: where they are searched for, and what is reported about those that
 * fail. */
#include "unit/unit.h"

#include <sys/stat.h>
#include <unistd.h>

#include "loomtag/draw.h"
#include "unit/build.h"
#include "unit/folder.h"

static struct lt_harness harness;

/* One connector with a photograph, of a description of that name. */
static void set_up(const char *file, const char *photo)
{
	build_init(&harness, "RV3", 1);
	harness.file = file;
	build_connector(&harness, "X1")->photo = photo;
}

static void assert_path(const char *file, const char *photo, const char *expected)
{
	set_up(file, photo);
	char *path = lt_photo_path(&harness, 0);
	if (expected == NULL)
		assert_null(path);
	else
		assert_string_equal(path, expected);
	free(path);
	build_finish(&harness);
}

static void test_paths(void **state)
{
	(void)state;
	assert_path("roof.yaml", "photos/x1.jpg", "photos/x1.jpg");
	assert_path("shop/roof.yaml", "photos/x1.jpg", "shop/photos/x1.jpg");
	assert_path("/srv/shop/roof.yaml", "x1.jpg", "/srv/shop/x1.jpg");
	assert_path("../roof.yaml", "../x1.jpg", "../../x1.jpg");
	assert_path("/roof.yaml", "x1.jpg", "/x1.jpg");
	assert_path("shop/roof.yaml", "/srv/x1.jpg", "/srv/x1.jpg");
	assert_path(NULL, "x1.jpg", "x1.jpg");
	assert_path(NULL, "/srv/x1.jpg", "/srv/x1.jpg");
	assert_path("shop/roof.yaml", NULL, NULL);
}

/* Four pixels beside each other, each of its own red. */
static void write_picture(const char *path)
{
	unsigned char rgb[12] = { 10, 0, 0, 20, 0, 0, 30, 0, 0, 40, 0, 0 };
	struct lt_packed png;
	assert_true(lt_pack_png(&png, &(struct lt_image){ 4, 1, rgb }));
	FILE *stream = fopen(path, "wb");
	assert_non_null(stream);
	assert_int_equal(fwrite(png.bytes, 1, png.length, stream), png.length);
	fclose(stream);
	free(png.bytes);
}

static void assert_read(const char *file, const char *photo)
{
	set_up(file, photo);
	struct lt_diags diags = { 0 };
	struct lt_image image;
	assert_true(lt_photo_read(&image, &harness, 0, 100, &diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(image.width, 4);
	assert_int_equal(image.height, 1);
	assert_int_equal(image.rgb[9], 40);
	lt_image_finish(&image);
	assert_true(lt_photo_read(&image, &harness, 0, 2, &diags));
	assert_int_equal(diags.count, 0);
	assert_true(image.width * image.height <= 2);
	lt_image_finish(&image);
	lt_diags_finish(&diags);
	build_finish(&harness);
}

static void test_reads(void **state)
{
	(void)state;
	assert_int_equal(mkdir("shop", 0777), 0);
	assert_int_equal(mkdir("shop/photos", 0777), 0);
	write_picture("x1.png");
	write_picture("shop/photos/x1.png");
	assert_int_equal(symlink("photos/x1.png", "shop/inside.png"), 0);
	assert_int_equal(symlink("shop/photos", "inside"), 0);
	assert_int_equal(symlink("shop", "shop2"), 0);
	assert_read("roof.yaml", "x1.png");
	assert_read("shop/roof.yaml", "photos/x1.png");
	assert_read("shop/roof.yaml", "inside.png");
	assert_read("roof.yaml", "inside/x1.png");
	assert_read("shop2/roof.yaml", "photos/x1.png");
	assert_read(NULL, "x1.png");
}

/* Not an error: one warning at the connector, that names the file. */
static void assert_warned(const char *photo, const char *name, const char *why)
{
	set_up("shop/roof.yaml", photo);
	struct lt_diags diags = { 0 };
	unsigned char pixel[3];
	struct lt_image image = { 1, 1, pixel };
	assert_false(lt_photo_read(&image, &harness, 0, 100, &diags));
	assert_int_equal(image.width, 0);
	assert_null(image.rgb);
	assert_int_equal(diags.errors, 0);
	assert_int_equal(diags.count, 1);
	const struct lt_diag *item = &diags.items[0];
	assert_int_equal(item->severity, LT_WARNING);
	assert_string_equal(item->place.file, "shop/roof.yaml");
	assert_int_equal(item->place.line, harness.connectors[0].place.line);
	assert_non_null(strstr(item->message, "connector X1"));
	assert_non_null(strstr(item->message, name));
	assert_non_null(strstr(item->message, why));
	assert_non_null(item->hint);
	lt_diags_finish(&diags);
	build_finish(&harness);
}

static void test_reports_what_is_wrong(void **state)
{
	(void)state;
	assert_warned("away.jpg", "\"shop/away.jpg\"", "does not exist");
	assert_warned("away/x1.jpg", "\"shop/away/x1.jpg\"", "does not exist");
	assert_warned("photos", "\"shop/photos\"", "is a folder");
	write_plain("shop/words.jpg", "not a picture");
	assert_warned("words.jpg", "\"shop/words.jpg\"", "PNG or JPEG");
	write_plain("shop/empty.jpg", "");
	assert_warned("empty.jpg", "\"shop/empty.jpg\"", "is an empty file");
	write_plain("shop/cut.png", "\x89PNG\r\n\x1a\n");
	assert_warned("cut.png", "\"shop/cut.png\"", "damaged");
	/* Nobody writes to this pipe: who opened it would wait for ever. */
	assert_int_equal(mkfifo("shop/pipe.jpg", 0666), 0);
	assert_warned("pipe.jpg", "\"shop/pipe.jpg\"", "is a named pipe");
}

/* What is published with a map is of the description's folder, and of no other by a link. */
static void test_stays_in_its_folder(void **state)
{
	(void)state;
	char path[100];
	snprintf(path, sizeof path, "%s/x1.png", folder);
	assert_int_equal(mkdir("shop-b", 0777), 0);
	write_picture("shop-b/x1.png");
	assert_int_equal(symlink("../x1.png", "shop/out.png"), 0);
	assert_int_equal(symlink("..", "shop/up"), 0);
	assert_int_equal(symlink("../shop-b", "shop/beside"), 0);
	const char *const photos[] = { "../x1.png", path, "out.png", "up/x1.png", "beside/x1.png",
		"photos/../../x1.png" };
	for (size_t i = 0; i < sizeof photos / sizeof *photos; i++) {
		assert_warned(photos[i], photos[i], "outside the folder");
		set_up("shop/roof.yaml", photos[i]);
		harness.connectors[0].photo_place = (struct lt_place){ harness.file, 7, 12 };
		struct lt_diags diags = { 0 };
		assert_false(lt_photo_check(&harness, &diags));
		assert_int_equal(diags.errors, 1);
		assert_int_equal(diags.items[0].place.line, 7);
		assert_int_equal(diags.items[0].place.column, 12);
		assert_non_null(strstr(diags.items[0].message, "outside the folder"));
		assert_non_null(diags.items[0].hint);
		lt_diags_finish(&diags);
		build_finish(&harness);
	}
	static const char *const fine[] = { "photos/x1.png", "inside.png", "away.jpg", NULL };
	for (size_t i = 0; i < sizeof fine / sizeof *fine; i++) {
		set_up("shop/roof.yaml", fine[i]);
		struct lt_diags diags = { 0 };
		assert_true(lt_photo_check(&harness, &diags));
		assert_int_equal(diags.count, 0);
		build_finish(&harness);
	}
}

static void test_a_missing_photo_is_no_error(void **state)
{
	(void)state;
	set_up("roof.yaml", NULL);
	struct lt_diags diags = { 0 };
	struct lt_image image;
	assert_false(lt_photo_read(&image, &harness, 0, 100, &diags));
	assert_null(image.rgb);
	assert_int_equal(diags.count, 0);
	build_finish(&harness);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_paths),
		cmocka_unit_test(test_reads),
		cmocka_unit_test(test_reports_what_is_wrong),
		cmocka_unit_test(test_stays_in_its_folder),
		cmocka_unit_test(test_a_missing_photo_is_no_error),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
