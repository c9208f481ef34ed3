// The agreed top level, and words that must not appear.

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <string>

#include "tests/support/shared_files.h"

namespace {

namespace fs = std::filesystem;

const fs::path root = beatwitness::tests::projectFolder();

}  // namespace

TEST(Layout, TopLevelIsExactlyTheAgreedOne) {
    const std::set<std::string> agreed{
        "CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "app",
        "core",           "widgets",   "resources",     "tests",   "sample-sessions"};

    std::set<std::string> found;
    for (const auto& entry : fs::directory_iterator(root)) {
        const auto name = entry.path().filename().string();
        if (!name.starts_with(".") && !name.starts_with("build")) found.insert(name);
    }

    EXPECT_EQ(found, agreed);
}

TEST(Layout, EveryHeaderIsGuarded) {
    for (const auto* folder : {"core", "widgets", "app", "tests"})
        for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
            if (entry.path().extension() != ".h") continue;
            std::ifstream in{entry.path()};
            const std::string text{std::istreambuf_iterator<char>{in}, {}};
            EXPECT_NE(text.find("#pragma once"), std::string::npos) << entry.path();
        }
}
