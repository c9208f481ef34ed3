// A kill at any moment leaves the library as before or after a batch.

#include <signal.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <random>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Library;

namespace {

constexpr int sessionsPerBatch = 3;
constexpr int kills = 100;
constexpr int killsPerLibrary = 10;

std::vector<library::SessionDraft> batchOf(int number) {
    std::vector<library::SessionDraft> drafts;
    for (int i = 0; i < sessionsPerBatch; ++i)
        drafts.push_back(tests::pairDraft("batch " + std::to_string(number),
                                          static_cast<std::uint64_t>(number * sessionsPerBatch + i), 200));
    return drafts;
}

/// Opens, stores batches and closes again and again, from batch `next` on; each is told when it is safe.
[[noreturn]] void importUntilKilled(const std::filesystem::path& path, int next, int told) {
    while (true) {
        auto library = Library::open(path, {.createIfAbsent = true});
        if (!library || library->readOnlyBecause()) ::_exit(1);
        for (int i = 0; i < 3; ++i, ++next) {
            if (!library->addSessions(batchOf(next))) ::_exit(2);
            if (::write(told, &next, sizeof next) != sizeof next) ::_exit(3);
        }
    }
}

class LibraryKill : public tests::LibraryFixture {
protected:
    /// Lets a child import for a while and kills it. Returns the last batch that it said was safe, or
    /// `before`.
    int importAndKill(int before, long delay_ns) {
        std::array<int, 2> pipe{};
        EXPECT_EQ(::pipe(pipe.data()), 0);
        const pid_t child = ::fork();
        if (child == 0) importUntilKilled(path(), before + 1, pipe[1]);
        ::close(pipe[1]);
        const timespec delay{0, delay_ns};
        ::nanosleep(&delay, nullptr);
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        EXPECT_TRUE(WIFSIGNALED(status)) << "the child ended by itself with " << WEXITSTATUS(status);
        int safe = before, number = 0;
        while (::read(pipe[0], &number, sizeof number) == sizeof number)
            safe = number;
        ::close(pipe[0]);
        return safe;
    }

    /// What batch `number` holds is what was given, sample by sample: it is the one the kill was nearest to.
    static void expectContent(Library& library, const std::vector<library::SessionRow>& sessions,
                              int number) {
        const auto given = batchOf(number);
        for (const auto& session : sessions) {
            if (session.name != given.front().name) continue;
            const auto sameStart = [&](const library::SessionDraft& draft) {
                const auto& channel = draft.wearings[0].recordings[0].file->read.recording.channels[0];
                return channel.times.front().time_since_epoch() == *session.start;
            };
            const auto draft = std::ranges::find_if(given, sameStart);
            ASSERT_NE(draft, given.end());
            for (std::size_t i = 0; i < session.wearings.size(); ++i) {
                const auto stored = library.loadWearing(session.wearings[i]);
                ASSERT_TRUE(stored);
                const auto& expected = draft->wearings[i].recordings[0].file->read.recording;
                EXPECT_EQ(stored->recording.channels[0].times, expected.channels[0].times);
                EXPECT_EQ(stored->recording.channels[0].values, expected.channels[0].values);
            }
        }
    }

    /// Returns the last batch in the library, each of which must be whole. Batches count from 0; -1: none.
    int expectWholeBatches() {
        auto library = Library::open(path(), {.createIfAbsent = true});
        EXPECT_TRUE(library) << sentence(library.fault());
        if (!library) return -1;
        EXPECT_FALSE(library->readOnlyBecause());
        const auto checked = library->checkIntegrity();
        EXPECT_TRUE(checked) << checked.fault().message;
        const auto sessions = library->allSessions();
        EXPECT_TRUE(sessions);
        EXPECT_EQ(sessions->size() % sessionsPerBatch, 0u);
        const int batches = static_cast<int>(sessions->size()) / sessionsPerBatch;
        std::vector<int> found(static_cast<std::size_t>(batches), 0);
        for (const auto& session : *sessions) {
            const auto number = static_cast<std::size_t>(std::stoi(session.name.substr(6)));
            if (number < found.size()) ++found[number];
            EXPECT_EQ(session.wearings.size(), 2u);
        }
        EXPECT_EQ(found, std::vector<int>(found.size(), sessionsPerBatch));
        if (batches > 0) expectContent(*library, *sessions, batches - 1);
        EXPECT_EQ(tests::rawSql(path(), "SELECT count(*) FROM recording"),
                  std::to_string(2 * sessions->size()));
        return batches - 1;
    }
};

}  // namespace

TEST_F(LibraryKill, AHundredKillsLeaveWholeBatches) {
    std::mt19937 random{20310304};
    // How long a commit takes depends on the machine and what else it does: wait longer after a kill that
    // came before one, less after one that met it, so that about half of them do.
    constexpr long shortest_ns = 10'000'000, longest_ns = 400'000'000;
    long reach_ns = 25'000'000;
    int last = -1, stored = 0;

    for (int kill = 0; kill < kills && !HasFailure(); ++kill) {
        const int before = last;
        const int safe = importAndKill(last, std::uniform_int_distribution<long>{0, reach_ns}(random));
        last = expectWholeBatches();
        reach_ns = last == before ? std::min(longest_ns, 2 * reach_ns) : std::max(shortest_ns, reach_ns / 2);
        EXPECT_GE(last, safe) << "what was said to be safe is gone";
        EXPECT_LE(last, safe + 1);
        if (kill % killsPerLibrary < killsPerLibrary - 1) continue;
        stored += last + 1;
        std::filesystem::remove(path());
        last = -1;
    }

    EXPECT_GT(stored, kills / 4) << "the kills came too early to meet a commit";
}
