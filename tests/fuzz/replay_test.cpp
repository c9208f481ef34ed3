#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <vector>

#include "core/recording/file_bytes.h"
#include "tests/fuzz/targets.h"
#include "tests/support/shared_files.h"

namespace beatwitness::tests {
namespace {

/// The kept inputs of `target` in `folder` (corpus or regressions), in the order of their names.
std::vector<std::filesystem::path> keptInputs(std::string_view folder, std::string_view target) {
    std::vector<std::filesystem::path> files;
    const auto place = projectFolder() / "tests" / "fuzz" / folder / target;
    if (!std::filesystem::exists(place)) return files;
    for (const auto& entry : std::filesystem::directory_iterator{place})
        files.push_back(entry.path());
    std::ranges::sort(files);
    return files;
}

class FuzzReplay : public testing::TestWithParam<FuzzTarget> {};

TEST_P(FuzzReplay, ReadsOrFaultsOnEveryInputOfTheCorpus) {
    const auto files = keptInputs("corpus", GetParam().name);

    EXPECT_FALSE(files.empty());
    for (const auto& file : files)
        EXPECT_EQ(GetParam().complaint(*recording::fileBytes(file)), "") << file;
}

TEST_P(FuzzReplay, ReadsOrFaultsOnEveryInputThatOnceBrokeIt) {
    for (const auto& file : keptInputs("regressions", GetParam().name))
        EXPECT_EQ(GetParam().complaint(*recording::fileBytes(file)), "") << file;
}

INSTANTIATE_TEST_SUITE_P(Targets, FuzzReplay, testing::ValuesIn(fuzzTargets()),
                         [](const auto& kept) { return std::string{kept.param.name}; });

}  // namespace
}  // namespace beatwitness::tests
