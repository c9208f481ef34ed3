// Dependencies point one way: app -> widgets -> core, and inside core leftwards along the road of a file.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <regex>
#include <string>
#include <vector>

#include "tests/support/shared_files.h"

namespace {

namespace fs = std::filesystem;

const fs::path root = beatwitness::tests::projectFolder();

constexpr std::array<std::string_view, 10> road{"foundation", "recording", "trace",   "alignment",  "flags",
                                                "agreement",  "analysis",  "library", "evaluation", "report"};

struct Include {
    std::string file;    // relative to the root
    std::string target;  // as written
    bool quoted = false;
};

std::vector<Include> includesUnder(const std::string& folder) {
    static const std::regex pattern{R"(^\s*#\s*include\s*([<"])([^>"]+)[>"])"};
    std::vector<Include> includes;
    for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
        const auto extension = entry.path().extension();
        if (extension != ".h" && extension != ".cpp") continue;
        std::ifstream in{entry.path()};
        for (std::string line; std::getline(in, line);) {
            std::smatch match;
            if (std::regex_search(line, match, pattern))
                includes.push_back(
                    {fs::relative(entry.path(), root).generic_string(), match[2], match[1] == "\""});
        }
    }
    return includes;
}

std::string place(const std::string& path) {
    return path.substr(0, path.find('/'));
}

std::size_t stationOf(const std::string& path) {
    const auto begin = path.find('/') + 1;
    const auto name = path.substr(begin, path.find('/', begin) - begin);
    return static_cast<std::size_t>(std::ranges::find(road, name) - road.begin());
}

bool isQt(const std::string& target) {
    static const std::regex pattern{R"(^(Q[A-Z].*|Qt[A-Z].*/.*|q[a-z0-9]+\.h|qcustomplot\.h)$)"};
    return std::regex_match(target, pattern);
}

}  // namespace

TEST(Includes, CoreIncludesNoQtHeader) {
    const auto includes = includesUnder("core");

    ASSERT_GT(includes.size(), 100u);
    for (const auto& include : includes)
        EXPECT_FALSE(isQt(include.target)) << include.file << " includes " << include.target;
}

TEST(Includes, CoreIncludesNeitherWidgetsNorApp) {
    const auto includes = includesUnder("core");

    for (const auto& include : includes) {
        EXPECT_NE(place(include.target), "widgets") << include.file;
        EXPECT_NE(place(include.target), "app") << include.file;
    }
}

TEST(Includes, WidgetsDoNotIncludeApp) {
    const auto includes = includesUnder("widgets");

    for (const auto& include : includes)
        EXPECT_NE(place(include.target), "app") << include.file << " includes " << include.target;
}

TEST(Includes, NothingShippedIncludesTests) {
    for (const auto* folder : {"core", "widgets", "app"})
        for (const auto& include : includesUnder(folder))
            EXPECT_NE(place(include.target), "tests") << include.file;
}

TEST(Includes, EachFolderOfCoreIncludesOnlyThoseBeforeIt) {
    const auto includes = includesUnder("core");

    for (const auto& include : includes) {
        if (place(include.target) != "core") continue;
        ASSERT_LT(stationOf(include.file), road.size()) << include.file << " lies in no folder of the road";
        ASSERT_LT(stationOf(include.target), road.size()) << include.file << " includes " << include.target;
        EXPECT_LE(stationOf(include.target), stationOf(include.file))
            << include.file << " includes " << include.target;
    }
}

TEST(Includes, OwnHeadersAreIncludedFromTheRoot) {
    for (const auto* folder : {"core", "widgets", "app"})
        for (const auto& include : includesUnder(folder))
            EXPECT_FALSE(include.target.starts_with(".") ||
                         (include.quoted && include.target.find('/') == std::string::npos &&
                          fs::exists(root / fs::path{include.file}.parent_path() / include.target)))
                << include.file << " includes " << include.target;
}
