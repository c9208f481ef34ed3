// `add` killed at any moment leaves the library as before or after it, sample by sample.

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>

#include "core/library/library.h"
#include "tests/verbs/verb_run.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

constexpr int kills = 100;
constexpr int sessionsPerManifest = 2;
constexpr int rows = 400;

class AddKilled : public testing::Test {
protected:
    void SetUp() override {
        folder_ = fs::temp_directory_path() / ("beatwitness-add-kill-" + std::to_string(::getpid()));
        fs::remove_all(folder_);
        fs::create_directories(folder_);
    }
    void TearDown() override { fs::remove_all(folder_); }

    [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }

    /// By hand, different for every import, session and device.
    static int rateAt(int import, int session, int device, int row) {
        return 80 + (row * (3 + device) + 7 * import + 11 * session) % 90;
    }
    static std::int64_t begin_s(int import, int session) {
        return 1930380000 + 86400 * import + 7200 * session;
    }

    std::string manifestOf(int import) {
        nlohmann::json sessions = nlohmann::json::array();
        for (int session = 0; session < sessionsPerManifest; ++session) {
            nlohmann::json wearings = nlohmann::json::array();
            for (int device = 0; device < 2; ++device) {
                const auto file = std::to_string(import) + "-" + std::to_string(session) + "-" +
                                  std::to_string(device) + ".csv";
                std::ofstream out{folder_ / file};
                out << "timestamp,hr\n";
                for (int row = 0; row < rows; ++row)
                    out << begin_s(import, session) + row << ',' << rateAt(import, session, device, row)
                        << '\n';
                wearings.push_back({{"role", device == 0 ? "reference" : "test"},
                                    {"device", device == 0 ? "strap" : "band"},
                                    {"file", file}});
            }
            sessions.push_back({{"name", std::to_string(import) + "/" + std::to_string(session)},
                                {"activity", "hill walk"},
                                {"wearings", wearings}});
        }
        std::ofstream{folder_ / "manifest.json"} << nlohmann::json{{"sessions", sessions}}.dump();
        return path("manifest.json");
    }

    /// True where the kill came before the verb had ended by itself.
    bool addAndKill(int import, long delay_ns) {
        const auto manifest = manifestOf(import);
        const pid_t child = ::fork();
        if (child == 0) {
            const auto ran =
                tests::run({"add", "--library", path("harbour.library"), "--manifest", manifest});
            ::_exit(ran.code);
        }
        const timespec delay{0, delay_ns};
        ::nanosleep(&delay, nullptr);
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        if (WIFEXITED(status)) {
            EXPECT_EQ(WEXITSTATUS(status), 0);
        }
        return WIFSIGNALED(status);
    }

    /// The imports that are in the library, each whole.
    std::vector<int> wholeImports() {
        auto library = library::Library::open(path("harbour.library"), {.createIfAbsent = true});
        EXPECT_TRUE(library) << sentence(library.fault());
        EXPECT_FALSE(library->readOnlyBecause());
        const auto checked = library->checkIntegrity();
        EXPECT_TRUE(checked) << checked.fault().message;
        std::vector<int> imports;
        const auto sessions = library->allSessions();
        for (const auto& session : *sessions) {
            const int import = std::stoi(session.name);
            imports.push_back(import);
            expectContent(*library, session, import, session.name.back() - '0');
        }
        std::ranges::sort(imports);
        for (const int import : imports)
            EXPECT_EQ(std::ranges::count(imports, import), sessionsPerManifest) << "import " << import;
        const auto twice = std::ranges::unique(imports);
        imports.erase(twice.begin(), twice.end());
        return imports;
    }

    static void expectContent(library::Library& library, const library::SessionRow& session, int import,
                              int number) {
        ASSERT_EQ(session.wearings.size(), 2u);
        for (int device = 0; device < 2; ++device) {
            const auto stored = library.loadWearing(session.wearings[static_cast<std::size_t>(device)]);
            ASSERT_TRUE(stored);
            const auto& channel = stored->recording.channels.at(0);
            ASSERT_EQ(channel.values.size(), static_cast<std::size_t>(rows));
            for (int row = 0; row < rows; ++row)
                ASSERT_EQ(channel.values[static_cast<std::size_t>(row)], rateAt(import, number, device, row));
        }
    }

    fs::path folder_;
};

}  // namespace

TEST_F(AddKilled, AHundredTimesLeavesTheLibraryAsBeforeOrAfter) {
    std::mt19937 random{20310305};
    // How long the verb takes depends on the machine: the reach grows after a kill that came before the
    // commit and shrinks after one that came behind it, so that about half of them meet it.
    long reach_ns = 20'000'000;
    std::vector<int> there;
    int before = 0, after = 0;

    for (int import = 0; import < kills && !HasFailure(); ++import) {
        const bool isKilled = addAndKill(import, std::uniform_int_distribution<long>{0, reach_ns}(random));
        const auto now = wholeImports();
        const bool isStored = std::ranges::find(now, import) != now.end();
        EXPECT_TRUE(isStored || isKilled) << "the verb said that it was done";
        auto expected = there;
        if (isStored) expected.push_back(import);
        EXPECT_EQ(now, expected);
        there = now;
        ++(isStored ? after : before);
        reach_ns =
            isStored ? std::max(2'000'000L, reach_ns * 2 / 3) : std::min(900'000'000L, reach_ns * 3 / 2);
        if (there.size() < 12) continue;
        fs::remove(path("harbour.library"));  // keeps the check of everything short
        there.clear();
    }

    EXPECT_GT(before, kills / 10);
    EXPECT_GT(after, kills / 10);
}
