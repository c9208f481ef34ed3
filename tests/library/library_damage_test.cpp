// Damage on the disk is said in one sentence, and what is whole is still read.

#include <fstream>
#include <random>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Library;
namespace fs = std::filesystem;

namespace {

class DamagedLibrary : public tests::LibraryFixture {
protected:
    void SetUp() override {
        {
            auto library = opened();
            std::vector<library::SessionDraft> drafts;
            for (int i = 0; i < 6; ++i)
                drafts.push_back(tests::pairDraft(std::to_string(i), static_cast<std::uint64_t>(i), 600));
            ASSERT_TRUE(library.addSessions(drafts));
        }
        std::ifstream in{path(), std::ios::binary};
        sound_.assign(std::istreambuf_iterator<char>{in}, {});
    }
    void write(const std::string& content) const {
        std::ofstream{path(), std::ios::binary | std::ios::trunc} << content;
    }

    /// Everything that can be asked; true where nothing of it faulted.
    bool readsWhole() const {
        auto library = Library::open(path());
        if (!library) return expectSentence(library.fault());
        const auto sessions = library->allSessions();
        if (!sessions) return expectSentence(sessions.fault());
        bool whole = true;
        for (const auto& session : *sessions)
            for (const auto& wearing : session.wearings)
                if (const auto read = library->loadWearing(wearing); !read)
                    whole = expectSentence(read.fault());
        if (const auto checked = library->checkIntegrity(); !checked) whole = expectSentence(checked.fault());
        return whole;
    }
    static bool expectSentence(const Fault& fault) {
        EXPECT_FALSE(fault.message.empty());
        EXPECT_FALSE(fault.file.empty());
        return false;
    }

    std::string sound_;
};

}  // namespace

TEST_F(DamagedLibrary, ASoundOneReadsWhole) {
    EXPECT_TRUE(readsWhole());
}

TEST_F(DamagedLibrary, APageOfNonsenseIsFoundAndNamed) {
    constexpr std::size_t page = 4096;
    int found = 0, pages = 0;

    for (std::size_t at = page; at + page <= sound_.size(); at += page, ++pages) {
        auto damaged = sound_;
        for (std::size_t i = 0; i < page; ++i)
            damaged[at + i] = static_cast<char>(i * 37 + 11);
        write(damaged);
        found += readsWhole() ? 0 : 1;
    }

    EXPECT_GT(pages, 20);
    EXPECT_EQ(found, pages);
}

TEST_F(DamagedLibrary, CutAtAnyPageItIsSaidToBeDamaged) {
    constexpr std::size_t page = 4096;

    for (std::size_t size = page; size + page < sound_.size(); size += page) {
        write(sound_.substr(0, size));
        EXPECT_FALSE(readsWhole()) << size;
    }
}

TEST_F(DamagedLibrary, FlippedBytesNeverCrash) {
    std::mt19937_64 random{12};

    for (int trial = 0; trial < 150; ++trial) {
        auto damaged = sound_;
        for (int flips = 0; flips < 3; ++flips)
            damaged[random() % damaged.size()] ^= static_cast<char>(1u << random() % 8);
        write(damaged);
        readsWhole();
    }
}

TEST_F(DamagedLibrary, ADamagedColumnIsNamedAndTheRestIsRead) {
    tests::rawSql(path(), "UPDATE channel SET \"values\" = substr(\"values\", 1, 30) WHERE recording_id = 1");

    auto library = Library::open(path());
    const auto damaged = library->loadRecording({1}), whole = library->loadRecording({2});

    ASSERT_FALSE(damaged);
    EXPECT_EQ(damaged.fault().code, FaultCode::LibraryDamaged);
    EXPECT_NE(damaged.fault().message.find("heart_rate"), std::string::npos);
    EXPECT_TRUE(whole);
    EXPECT_TRUE(library->originalBytes({1}));
}

TEST_F(DamagedLibrary, ADamagedOriginalIsSaid) {
    tests::rawSql(path(), "UPDATE original SET bytes = zeroblob(100) WHERE recording_id = 1");

    auto library = Library::open(path());
    const auto bytes = library->originalBytes({1});

    ASSERT_FALSE(bytes);
    EXPECT_EQ(bytes.fault().code, FaultCode::LibraryDamaged);
    EXPECT_TRUE(library->loadRecording({1}));
}

TEST_F(DamagedLibrary, OneRowOfColumnsThatDifferInLengthIsDamage) {
    tests::rawSql(path(), "UPDATE channel SET samples = samples + 1 WHERE recording_id = 1");

    const auto read = Library::open(path())->loadRecording({1});

    ASSERT_FALSE(read);
    EXPECT_EQ(read.fault().code, FaultCode::LibraryDamaged);
}
