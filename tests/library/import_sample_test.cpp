// The sample sessions as a heap of files: the plan must find what their manifest says.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "core/library/import_plan.h"
#include "tests/library/import_fixture.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

const fs::path folder{BEATWITNESS_SAMPLE_SESSIONS};

struct Sample {
    std::vector<library::OfferedFile> files;
    std::map<std::string, std::set<std::string>> truth;       ///< files by session
    std::map<std::string, std::set<std::string>> references;  ///< of them the references

    Sample() {
        const auto manifest = nlohmann::json::parse(std::ifstream{folder / "manifest.json"});
        std::set<std::string> names;
        for (const auto& session : manifest["sessions"])
            for (const auto& wearing : session["wearings"]) {
                if (!wearing.contains("file")) continue;
                const auto file = wearing["file"].get<std::string>();
                names.insert(file);
                truth[session["name"]].insert(file);
                if (wearing["role"] == "reference") references[session["name"]].insert(file);
            }
        for (const auto& name : names) {
            auto read = library::readForLibrary(folder / name);
            EXPECT_TRUE(read) << name;
            if (read) files.push_back(library::offered(std::move(*read)));
        }
    }

    [[nodiscard]] std::set<std::string> namesOf(const library::ProposedSession& session,
                                                bool onlyReferences) const {
        std::set<std::string> names;
        for (const auto& wearing : session.wearings)
            for (const auto& use : wearing.recordings)
                if (!onlyReferences || wearing.role == library::Role::Reference)
                    names.insert(fs::path{files[use.file].read().file}.filename().string());
        return names;
    }
};

}  // namespace

TEST(ImportOfTheSample, EverySessionOfTheManifestIsFound) {
    const Sample sample;

    const auto plan = library::proposeImport(sample.files, {});

    for (const auto& [name, files] : sample.truth) {
        const bool isFound = std::ranges::any_of(plan.sessions, [&, &expected = files](const auto& session) {
            return sample.namesOf(session, false) == expected;
        });
        EXPECT_TRUE(isFound) << name << ": " << ::testing::PrintToString(files);
    }
    EXPECT_EQ(plan.sessions.size(), sample.truth.size());
    for (const auto& session : plan.sessions)
        if (::testing::Test::HasFailure())
            std::printf("  %s: %s\n", session.name.c_str(),
                        ::testing::PrintToString(sample.namesOf(session, false)).c_str());
}

TEST(ImportOfTheSample, EveryStrapIsAReferenceAndNothingElseIs) {
    const Sample sample;

    const auto plan = library::proposeImport(sample.files, {});

    std::set<std::string> expected, found;
    for (const auto& [name, files] : sample.references)
        expected.insert(files.begin(), files.end());
    for (const auto& session : plan.sessions)
        found.merge(sample.namesOf(session, true));
    EXPECT_EQ(found, expected);
}
