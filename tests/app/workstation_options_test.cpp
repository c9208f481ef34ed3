#include "app/workstation_options.h"

#include <gtest/gtest.h>

namespace beatwitness {
namespace {

using Words = std::vector<std::string>;

TEST(WorkstationOptions, TakesPlainWordsForFiles) {
    const auto options = parseWorkstationOptions(Words{"strap.fit", "--", "--odd-name.csv"});

    ASSERT_TRUE(options);
    EXPECT_EQ(options->files, (Words{"strap.fit", "--odd-name.csv"}));
}

TEST(WorkstationOptions, ReadsWhatAPictureNeeds) {
    const auto options = parseWorkstationOptions(
        Words{"--reference", "s.fit", "--test", "b.csv", "--shot", "w.png", "--size", "1366x768", "--theme",
              "dark", "--page", "agreement", "--as-recorded", "--cursor", "12.5"});

    ASSERT_TRUE(options);
    EXPECT_EQ(options->reference, "s.fit");
    EXPECT_EQ(options->tests, Words{"b.csv"});
    EXPECT_EQ(options->width, 1366);
    EXPECT_EQ(options->height, 768);
    EXPECT_EQ(options->theme, WorkstationOptions::Theme::Dark);
    EXPECT_EQ(options->page, WorkstationOptions::Page::Agreement);
    EXPECT_EQ(options->aligned, false);
    EXPECT_EQ(options->cursor_s, 12.5);
}

class WrongOptions : public ::testing::TestWithParam<Words> {};

TEST_P(WrongOptions, AreRefusedAsWrongUsage) {
    const auto options = parseWorkstationOptions(GetParam());

    ASSERT_FALSE(options);
    EXPECT_EQ(options.fault().code, FaultCode::WrongUsage);
}

INSTANTIATE_TEST_SUITE_P(WorkstationOptions, WrongOptions,
                         ::testing::Values(Words{"--colour"}, Words{"--size", "big"}, Words{"--size", "0x9"},
                                           Words{"--theme", "blue"}, Words{"--cursor", "nan"},
                                           Words{"--shot"}, Words{"--test", "b.csv"},
                                           Words{"--page", "library"}));

}  // namespace
}  // namespace beatwitness
