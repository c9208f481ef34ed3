#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/library/file_words.h"
#include "core/library/library_knowledge.h"
#include "core/library/offered_file.h"
#include "core/library/reference_guess.h"

/// The third step of an import plan: what things are called, learned from the library where it knows.
namespace beatwitness::library {

/// A guess and why; empty where there is none.
struct Guess {
    std::string text;
    std::string because;  ///< half a sentence
};

/// What the library knows and the files say, arranged for looking up. `knowledge` must outlive it.
class LabelBook {
public:
    LabelBook(const LibraryKnowledge& knowledge, std::span<const OfferedFile> files);

    /// The label of the file's device: as a unit of that number or a device of that name was called before;
    /// a known label among the words of the file's name; the device as the file names it; the words of its
    /// name that `common` does not have, or the one device that these words belong to ("strap" where another
    /// file names a "Harbour strap").
    [[nodiscard]] Guess device(const OfferedFile& file, const std::vector<std::string>& common) const;
    [[nodiscard]] ReferenceEvidence evidence(const OfferedFile& file, const std::string& device) const;
    /// Unit, firmware and how it is worn: from the file, else as the device was worn last.
    [[nodiscard]] WearingFacts facts(const OfferedFile& file, const std::string& device) const;
    [[nodiscard]] Guess activity(const std::vector<const OfferedFile*>& files,
                                 const std::optional<Span<RecordingClock>>& when,
                                 const std::string& wearer) const;
    /// The one of the session that was added last.
    [[nodiscard]] Guess wearer() const;

private:
    struct DeviceHistory {
        std::size_t timesReference = 0, timesTest = 0;
        const KnownWearing* last = nullptr;
    };
    [[nodiscard]] Guess activityByHabit(const Span<RecordingClock>& when, const std::string& wearer) const;

    const LibraryKnowledge& knowledge_;
    std::vector<std::string> namedByFiles_;  ///< devices, as called in this import
    std::map<std::string, DeviceHistory> devices_;
    std::map<std::string, const KnownWearing*> bySerial_;
    /// Labels under which recordings of a device name were stored, the last one last.
    std::map<std::string, std::vector<std::string>> byFileDevice_;
    std::map<std::string, std::map<std::string, std::size_t>> activitiesOfSport_;
};

}  // namespace beatwitness::library
