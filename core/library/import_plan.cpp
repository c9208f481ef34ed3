#include "core/library/import_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "core/foundation/text.h"
#include "core/library/import_groups.h"
#include "core/library/import_labels.h"
#include "core/library/import_pieces.h"

namespace beatwitness::library {
namespace {

using recording::ClockBasis;
using TimeSpan = Span<RecordingClock>;

/// What becomes a wearing, before its role is settled.
struct Worn {
    ProposedWearing wearing;
    std::size_t file = 0;  ///< the first it draws from
    std::vector<TimeSpan> spans;
    bool isUndated = false;
    int place = 2;  ///< first reference, second ones, tests, contexts
};

class Planner {
public:
    Planner(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge)
        : files_{files}, knowledge_{knowledge}, book_{knowledge, files} {}

    ImportPlan plan() {
        auto sifted = newPieces(files_, knowledge_);
        pieces_ = std::move(sifted.pieces);
        plan_.files = std::move(sifted.verdicts);
        auto grouped = groupPieces(pieces_, files_, anchors(), knowledge_);
        for (const auto& group : grouped.groups)
            addSession(group);
        nameApart();
        for (const auto& member : grouped.unplaced)
            plan_.unplaced.push_back(unplaced(member));
        return std::move(plan_);
    }

private:
    [[nodiscard]] std::vector<bool> anchors() const {
        std::vector<bool> anchors;
        for (const auto& file : files_) {
            const auto evidence = book_.evidence(file, book_.device(file, {}).text);
            const auto guess = guessReference(std::span{&evidence, 1});
            anchors.push_back(guess.spokenFor > 0 && !guess.references.empty());
        }
        return anchors;
    }

    [[nodiscard]] ProposedRecording recordingOf(const GroupMember& member) const {
        const auto& piece = pieces_[member.piece];
        ProposedRecording recording{piece.file, member.cut};
        if (!recording.span && !piece.isWhole) recording.span = piece.span;
        return recording;
    }

    /// Words that the names of all files of a group have.
    [[nodiscard]] std::vector<std::string> commonWords(const PieceGroup& group) const {
        std::vector<std::string> common;
        std::size_t names = 0;
        std::set<std::size_t> seen;
        for (const auto& member : group.members) {
            const auto file = pieces_[member.piece].file;
            if (!seen.insert(file).second) continue;
            const auto words = fileWords(files_[file].read().file);
            if (names++ == 0)
                common = words;
            else
                std::erase_if(
                    common, [&](const auto& word) { return std::ranges::find(words, word) == words.end(); });
        }
        return names > 1 ? common : std::vector<std::string>{};
    }

    void addSession(const PieceGroup& group) {
        const auto common = commonWords(group);
        auto worn = wornIn(group, common);
        numberUnits(worn);
        settleRoles(worn, group);
        ProposedSession session;
        session.because = group.because;
        if (group.joins) {
            const auto& known = knowledge_.sessions[*group.joins];
            session.joins = known.id;
            session.name = known.name;
            session.activity = known.activity;
            session.wearer = known.wearer;
        } else {
            label(session, group, worn, common);
        }
        for (auto& each : worn)
            session.wearings.push_back(std::move(each.wearing));
        starts_.push_back(group.core);
        plan_.sessions.push_back(std::move(session));
    }

    /// Pieces of one device that do not overlap are one wearing.
    std::vector<Worn> wornIn(const PieceGroup& group, const std::vector<std::string>& common) const {
        std::vector<Worn> worn;
        for (const auto& member : group.members) {
            const auto& piece = pieces_[member.piece];
            const auto& file = files_[piece.file];
            const auto device = book_.device(file, common);
            const auto span = member.cut ? *member.cut : piece.span;
            auto* same = continued(worn, file, device.text, span);
            if (!same) {
                Worn next;
                next.file = piece.file;
                next.isUndated = file.recording().clock == ClockBasis::None;
                next.wearing.device = device.text;
                next.wearing.facts = book_.facts(file, device.text);
                next.wearing.because = fmt::format("{}: {}", device.text, device.because);
                if (!member.because.empty()) next.wearing.because += "; " + member.because;
                worn.push_back(std::move(next));
                same = &worn.back();
            }
            same->spans.push_back(span);
            same->wearing.recordings.push_back(recordingOf(member));
        }
        return worn;
    }

    [[nodiscard]] Worn* continued(std::vector<Worn>& worn, const OfferedFile& file, const std::string& device,
                                  const TimeSpan& span) const {
        if (!file.hasHeartRate() || file.recording().clock == ClockBasis::None) return nullptr;
        const auto overlaps = [&](const TimeSpan& other) {
            return span.begin <= other.end && other.begin <= span.end;
        };
        for (auto& each : worn) {
            const auto& other = files_[each.file];
            if (each.wearing.device != device || each.isUndated || !other.hasHeartRate()) continue;
            if (other.recording().serial != file.recording().serial) continue;
            if (std::ranges::none_of(each.spans, overlaps)) return &each;
        }
        return nullptr;
    }

    /// Several of one device at one time are told apart.
    static void numberUnits(std::vector<Worn>& worn) {
        for (std::size_t i = 0; i < worn.size(); ++i) {
            std::vector<Worn*> alike;
            for (auto& other : worn)
                if (other.wearing.device == worn[i].wearing.device) alike.push_back(&other);
            if (alike.size() < 2) continue;
            std::set<std::string> units;
            for (const auto* each : alike)
                units.insert(each->wearing.facts.unit);
            if (units.size() == alike.size()) continue;
            int number = 1;
            for (auto* each : alike)
                each->wearing.facts.unit = std::to_string(number++);
        }
    }

    [[nodiscard]] bool hasStoredReference(const PieceGroup& group) const {
        return group.joins && std::ranges::any_of(knowledge_.sessions[*group.joins].wearings,
                                                  [](const KnownWearing& wearing) {
                                                      return wearing.role == Role::Reference &&
                                                             !wearing.uses.empty();
                                                  });
    }

    void settleRoles(std::vector<Worn>& worn, const PieceGroup& group) const {
        std::vector<ReferenceEvidence> evidence;
        for (const auto& each : worn)
            evidence.push_back(book_.evidence(files_[each.file], each.wearing.device));
        const auto guess = guessReference(evidence);
        const bool isTaken = hasStoredReference(group);
        for (std::size_t i = 0; i < worn.size(); ++i) {
            auto& wearing = worn[i].wearing;
            wearing.role = evidence[i].hasHeartRate ? Role::Test : Role::Context;
            worn[i].place = evidence[i].hasHeartRate ? 2 : 3;
            const auto found = std::ranges::find(guess.references, i);
            // Steadiness alone makes no reference beside one that is stored, nor of a file that is alone.
            const bool isSpokenFor = guess.spokenFor > 0;
            if (found == guess.references.end() || ((isTaken || worn.size() == 1) && !isSpokenFor)) continue;
            wearing.role = Role::Reference;
            const bool isSecond = isTaken || found != guess.references.begin();
            worn[i].place = isSecond ? 1 : 0;
            wearing.because += fmt::format("; {}reference: {}", isSecond ? "second " : "", guess.because[i]);
        }
        std::ranges::stable_sort(worn, {}, &Worn::place);
    }

    void label(ProposedSession& session, const PieceGroup& group, const std::vector<Worn>& worn,
               const std::vector<std::string>& common) const {
        const auto wearer = book_.wearer();
        session.wearer = wearer.text;
        std::vector<const OfferedFile*> files;
        for (const auto& each : worn)
            for (const auto& use : each.wearing.recordings)
                files.push_back(&files_[use.file]);
        const auto activity = book_.activity(files, group.core, wearer.text);
        session.activity = activity.text;
        if (!activity.text.empty())
            session.because += fmt::format(" {}: {}.", activity.text, activity.because);
        if (!wearer.text.empty()) session.because += fmt::format(" {}: {}.", wearer.text, wearer.because);
        session.name = nameOf(session, worn, common);
    }

    /// What the files' names have in common beside dates and devices; else the activity.
    [[nodiscard]] std::string nameOf(const ProposedSession& session, const std::vector<Worn>& worn,
                                     std::vector<std::string> common) const {
        if (worn.size() == 1 && worn[0].wearing.recordings.size() == 1 &&
            files_[worn[0].file].summary.parts.size() <= 1)
            common = fileWords(files_[worn[0].file].read().file);
        std::erase_if(common, isNumber);
        for (const auto& each : worn) {
            const auto device = wordsIn(each.wearing.device);
            std::erase_if(common,
                          [&](const auto& word) { return std::ranges::find(device, word) != device.end(); });
        }
        if (!common.empty()) return joined(common);
        return session.activity.empty() ? "session" : session.activity;
    }

    /// Names that the library or the plan has twice get their date, then their hour.
    void nameApart() {
        std::map<std::string, int> used;
        for (const auto& session : knowledge_.sessions)
            ++used[session.name];
        for (const auto& session : plan_.sessions)
            if (!session.joins) ++used[session.name];
        std::set<std::string> taken;
        for (const auto& session : knowledge_.sessions)
            taken.insert(session.name);
        for (std::size_t i = 0; i < plan_.sessions.size(); ++i) {
            auto& session = plan_.sessions[i];
            if (session.joins) continue;
            if (used[session.name] > 1 && starts_[i]) {
                const auto instant = isoInstant(starts_[i]->begin.time_since_epoch());
                const auto dated = session.name + " " + instant.substr(0, 10);
                session.name = taken.contains(dated) ? dated + " " + instant.substr(11, 5) : dated;
            }
            const auto plain = session.name;
            for (int number = 2; !taken.insert(session.name).second; ++number)
                session.name = fmt::format("{} ({})", plain, number);
        }
    }

    [[nodiscard]] ProposedWearing unplaced(const GroupMember& member) const {
        const auto& file = files_[pieces_[member.piece].file];
        ProposedWearing wearing;
        wearing.role = file.hasHeartRate() ? Role::Test : Role::Context;
        wearing.device = book_.device(file, {}).text;
        wearing.facts = book_.facts(file, wearing.device);
        wearing.recordings.push_back(recordingOf(member));
        wearing.because = member.because;
        const auto evidence = book_.evidence(file, wearing.device);
        const auto guess = guessReference(std::span{&evidence, 1});
        if (guess.spokenFor > 0 && !guess.references.empty()) wearing.role = Role::Reference;
        return wearing;
    }

    std::span<const OfferedFile> files_;
    const LibraryKnowledge& knowledge_;
    LabelBook book_;
    std::vector<Piece> pieces_;
    std::vector<std::optional<TimeSpan>> starts_;  ///< of the proposed sessions
    ImportPlan plan_;
};

}  // namespace

ImportPlan proposeImport(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge) {
    return Planner{files, knowledge}.plan();
}

std::vector<SessionDraft> draftsOf(std::span<const ProposedSession> sessions,
                                   std::span<const OfferedFile> files) {
    std::vector<SessionDraft> drafts;
    for (const auto& session : sessions) {
        SessionDraft draft{session.name, session.activity, session.wearer, session.note, {}, session.joins};
        for (const auto& wearing : session.wearings) {
            WearingDraft worn;
            worn.role = wearing.role;
            worn.device = wearing.device;
            worn.facts = wearing.facts;
            worn.outcome = wearing.outcome;
            worn.reason = wearing.reason;
            for (const auto& use : wearing.recordings)
                worn.recordings.push_back({files[use.file].file, use.span});
            draft.wearings.push_back(std::move(worn));
        }
        drafts.push_back(std::move(draft));
    }
    return drafts;
}

}  // namespace beatwitness::library
