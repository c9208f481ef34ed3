#pragma once

#include <QString>
#include <QStringList>
#include <memory>
#include <optional>
#include <vector>

#include "core/foundation/result.h"
#include "core/library/import_plan.h"

namespace beatwitness::app {

/// A file that could not be read, and why.
struct UnreadFile {
    std::string path;
    Fault fault;
};

/// What an import was read from: shared by every state of the board, never changed.
struct ImportSource {
    std::vector<library::OfferedFile> files;
    std::vector<library::FileVerdict> verdicts;  ///< one for each file
    std::vector<UnreadFile> unread;
    library::LibraryKnowledge knowledge;
    std::vector<recording::ReadOptions> readAs;  ///< how each file was read
};

struct BoardWearing {
    library::ProposedWearing is;
    bool isLeftOut = false;
};

struct BoardSession {
    library::ProposedSession is;  ///< its own list of wearings is not used
    std::vector<BoardWearing> wearings;
    bool isLeftOut = false;
};

/// Where a row of the board stands: a session, or a wearing in it; in `noSession` those that have none.
struct BoardPlace {
    static constexpr int noSession = -1;
    int session = noSession;
    int wearing = -1;  ///< -1: the session itself

    [[nodiscard]] bool isSession() const { return session >= 0 && wearing < 0; }
    friend bool operator==(const BoardPlace&, const BoardPlace&) = default;
};

/// The import as the user has corrected it so far: a value, so that each correction and its undo are two of
/// them.
class ImportBoard {
public:
    ImportBoard() = default;
    /// The proposal for `source`; `plan` was made for its files.
    explicit ImportBoard(const library::ImportPlan& plan);

    [[nodiscard]] const std::vector<BoardSession>& sessions() const { return sessions_; }
    [[nodiscard]] const std::vector<BoardWearing>& unplaced() const { return unplaced_; }
    [[nodiscard]] BoardSession& session(int index) { return sessions_[static_cast<std::size_t>(index)]; }
    /// Requires: a place of a wearing.
    [[nodiscard]] BoardWearing& wearing(const BoardPlace& place);
    [[nodiscard]] const BoardWearing& wearing(const BoardPlace& place) const;

    /// The wearings go to session `to`, or to a new one named `newName` where `to` is its count. Sessions
    /// that are empty then are gone. Returns the session they stand in afterwards.
    int move(std::vector<BoardPlace> wearings, int to, const std::string& newName = {});
    /// The wearings of `from` go to `to`; `from` is gone. Returns where `to` stands afterwards.
    int merge(int from, int to);
    /// The wearings, all of one session, become one that draws from all their files; it is the first of them.
    BoardPlace joinWearings(std::vector<BoardPlace> wearings);
    /// Leaves out what is in, takes in what is out; all of `places` as the first of them.
    void toggleLeftOut(const std::vector<BoardPlace>& places);
    /// An attempt that left no file. Returns its place.
    BoardPlace addAttempt(int session, const std::string& device);

    /// A file that was read late: it waits for its session.
    void addUnplaced(std::size_t file, const ImportSource& source);
    /// File `file` was read anew: parts of what it said before mean nothing.
    void forgetParts(std::size_t file);

    /// What is to be stored: sessions and wearings that are not left out.
    [[nodiscard]] std::vector<library::ProposedSession> toStore() const;
    /// Why it cannot be stored yet, a sentence; empty where it can.
    [[nodiscard]] QString complaint() const;

private:
    std::vector<BoardSession> sessions_;
    std::vector<BoardWearing> unplaced_;
};

/// Files the wearing draws from, by name: "band.csv", "band.csv + band (1).csv".
[[nodiscard]] QString filesOf(const library::ProposedWearing& wearing, const ImportSource& source);
/// The part of the first file that counts, on its own clock; nothing without a valid heart rate and a span.
[[nodiscard]] std::optional<Span<RecordingClock>> spanOf(const library::ProposedWearing& wearing,
                                                         const ImportSource& source);
/// Valid heart rates that the wearing takes.
[[nodiscard]] std::size_t samplesOf(const library::ProposedWearing& wearing, const ImportSource& source);

}  // namespace beatwitness::app
