#include "core/analysis/settings_table.h"

#include <gtest/gtest.h>

#include <set>

using namespace beatwitness;
using analysis::setThreshold;
using analysis::settingsTable;

TEST(SettingsTable, NamesEveryThresholdOnceWithReasonAndSource) {
    std::set<std::string_view> keys;
    for (const auto& row : settingsTable({})) {
        EXPECT_TRUE(keys.insert(row.key).second) << row.key;
        EXPECT_FALSE(row.reason.empty()) << row.key;
        EXPECT_FALSE(row.source.empty()) << row.key;
        EXPECT_EQ(row.value, row.standard) << row.key;
        if (row.settable) {
            EXPECT_LE(row.lowest, row.standard) << row.key;
            EXPECT_GE(row.highest, row.standard) << row.key;
        }
    }
}

TEST(SetThreshold, ChangesThatOneAndNoOther) {
    for (const auto& row : settingsTable({})) {
        if (!row.settable) continue;
        analysis::Settings settings;

        ASSERT_TRUE(setThreshold(settings, row.key, row.lowest)) << row.key;

        for (const auto& after : settingsTable(settings))
            EXPECT_EQ(after.value, after.key == row.key ? row.lowest : after.standard) << row.key;
    }
}

TEST(SetThreshold, RefusesWhatIsUnknownFixedOrOutOfRange) {
    analysis::Settings settings;

    EXPECT_FALSE(setThreshold(settings, "no_such_threshold", 1));
    EXPECT_FALSE(setThreshold(settings, "lowest_valid_bpm", 30));
    EXPECT_FALSE(setThreshold(settings, "flag_adrift_bpm", -1));

    EXPECT_EQ(settingsTable(settings).size(), settingsTable({}).size());
    for (const auto& row : settingsTable(settings))
        EXPECT_EQ(row.value, row.standard);
}
