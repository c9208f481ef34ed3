#include "app/windows/import_model.h"

#include <QDateTime>
#include <QLocale>
#include <algorithm>
#include <filesystem>
#include <set>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

/// Corrections that can be taken back; each is a small list of labels.
constexpr std::size_t mostSteps = 200;

QString words(const std::string& text) {
    return QString::fromStdString(text);
}

bool isHidden(FileState state) {
    return state != FileState::New && state != FileState::PartlyNew;
}

QStringList sorted(const std::set<QString>& labels) {
    QStringList list;
    for (const auto& label : labels)
        if (!label.isEmpty()) list << label;
    return list;
}

std::set<QString> setOf(const std::vector<std::string>& labels) {
    std::set<QString> all;
    for (const auto& label : labels)
        all.insert(words(label));
    return all;
}

/// A number at the right edge of its column, apart from the text of the next one.
QString padded(const QString& number) {
    return number + QChar(0x2003);
}

/// The text of a fact that is edited in place, by column.
std::string* factOf(WearingFacts& facts, int column) {
    switch (column) {
        case ImportModel::Unit:
            return &facts.unit;
        case ImportModel::Firmware:
            return &facts.firmware;
        case ImportModel::Position:
            return &facts.position;
        default:
            return nullptr;
    }
}

}  // namespace

QString roleWord(library::Role role) {
    return role == library::Role::Reference ? ImportModel::tr("reference")
           : role == library::Role::Test    ? ImportModel::tr("test")
                                            : ImportModel::tr("context");
}

QString whenWords(const Span<RecordingClock>& span, recording::ClockBasis clock) {
    const QString length = durationText(toSeconds(span.end - span.begin).value);
    if (clock == recording::ClockBasis::None) return ImportModel::tr("no date · %1").arg(length);
    const auto ms = std::chrono::floor<std::chrono::milliseconds>(span.begin.time_since_epoch()).count();
    const auto begin = QDateTime::fromMSecsSinceEpoch(ms, Qt::UTC);
    return ImportModel::tr("%1 · %2").arg(QLocale().toString(begin, QStringLiteral("ddd d MMM yyyy, HH:mm")),
                                          length);
}

void ImportModel::setImport(std::shared_ptr<const ImportSource> source, ImportBoard board) {
    before_.clear();
    after_.clear();
    replace(std::move(source), std::move(board));
}

void ImportModel::replace(std::shared_ptr<const ImportSource> source, ImportBoard board) {
    beginResetModel();
    source_ = std::move(source);
    board_ = std::move(board);
    listSkipped();
    endResetModel();
    emit corrected();
}

void ImportModel::setSource(std::shared_ptr<const ImportSource> source, ImportBoard board) {
    before_.clear();  // earlier boards speak of the files before
    before_.push_back(board);
    after_.clear();
    replace(std::move(source), std::move(board));
}

bool ImportModel::hasShapeOf(const ImportBoard& board) const {
    return board_.unplaced().size() == board.unplaced().size() &&
           std::ranges::equal(board_.sessions(), board.sessions(), [](const auto& a, const auto& b) {
               return a.wearings.size() == b.wearings.size();
           });
}

void ImportModel::put(ImportBoard board) {
    if (hasShapeOf(board) && rowCount() > 0) {
        board_ = std::move(board);
        emit dataChanged(index(0, 0), index(rowCount() - 1, columns - 1));
        for (int row = 0; row < rowCount(); ++row)
            if (const auto top = index(row, 0); rowCount(top) > 0)
                emit dataChanged(index(0, 0, top), index(rowCount(top) - 1, columns - 1, top));
        emit corrected();
        return;
    }
    beginResetModel();
    board_ = std::move(board);
    listSkipped();
    endResetModel();
    emit corrected();
}

void ImportModel::listSkipped() {
    skipped_.clear();
    for (std::size_t i = 0; i < source_->verdicts.size(); ++i)
        if (isHidden(source_->verdicts[i].state)) skipped_.push_back(i);
    groups_.clear();
    if (!board_.unplaced().empty()) groups_.push_back(Group::NoSession);
    if (!source_->unread.empty()) groups_.push_back(Group::Unread);
    if (!skipped_.empty()) groups_.push_back(Group::Skipped);
}

void ImportModel::correct(ImportBoard board) {
    before_.push_back(board_);
    if (before_.size() > mostSteps) before_.erase(before_.begin());
    after_.clear();
    put(std::move(board));
}

void ImportModel::undo() {
    if (!canUndo()) return;
    after_.push_back(board_);
    auto board = std::move(before_.back());
    before_.pop_back();
    put(std::move(board));
}

void ImportModel::redo() {
    if (!canRedo()) return;
    before_.push_back(board_);
    auto board = std::move(after_.back());
    after_.pop_back();
    put(std::move(board));
}

// --- shape -------------------------------------------------------------------------------------------------
// The internal id of a child is the row of its parent plus one; that of a top row is 0.

ImportModel::Group ImportModel::groupOf(const QModelIndex& index) const {
    const int top = index.internalId() == 0 ? index.row() : static_cast<int>(index.internalId()) - 1;
    const int sessions = static_cast<int>(board_.sessions().size());
    return top < sessions ? Group::Session : groups_[static_cast<std::size_t>(top - sessions)];
}

std::optional<BoardPlace> ImportModel::placeOf(const QModelIndex& index) const {
    if (!index.isValid()) return std::nullopt;
    const auto group = groupOf(index);
    const bool isTop = index.internalId() == 0;
    if (group == Group::Session)
        return isTop ? BoardPlace{index.row(), -1}
                     : BoardPlace{static_cast<int>(index.internalId()) - 1, index.row()};
    if (group == Group::NoSession && !isTop) return BoardPlace{BoardPlace::noSession, index.row()};
    return std::nullopt;
}

QModelIndex ImportModel::indexOf(const BoardPlace& place, int column) const {
    if (place.isSession()) return index(place.session, column);
    if (place.session >= 0) return index(place.wearing, column, index(place.session, 0));
    const int top = static_cast<int>(board_.sessions().size());
    return groups_.empty() || groups_[0] != Group::NoSession ? QModelIndex{}
                                                             : index(place.wearing, column, index(top, 0));
}

std::optional<std::size_t> ImportModel::fileOf(const QModelIndex& index) const {
    if (!index.isValid()) return std::nullopt;
    if (const auto place = placeOf(index); place && place->wearing >= 0) {
        const auto& uses = board_.wearing(*place).is.recordings;
        return uses.empty() ? std::nullopt : std::optional{uses.front().file};
    }
    if (groupOf(index) == Group::Skipped && index.internalId() != 0)
        return skipped_[static_cast<std::size_t>(index.row())];
    return std::nullopt;
}

std::optional<std::size_t> ImportModel::unreadOf(const QModelIndex& index) const {
    if (!index.isValid() || groupOf(index) != Group::Unread || index.internalId() == 0) return std::nullopt;
    return static_cast<std::size_t>(index.row());
}

QModelIndex ImportModel::index(int row, int column, const QModelIndex& parent) const {
    if (row < 0 || column < 0 || column >= columns || row >= rowCount(parent)) return {};
    return createIndex(row, column, parent.isValid() ? static_cast<quintptr>(parent.row()) + 1 : 0);
}

QModelIndex ImportModel::parent(const QModelIndex& child) const {
    if (!child.isValid() || child.internalId() == 0) return {};
    return createIndex(static_cast<int>(child.internalId()) - 1, 0, quintptr{0});
}

int ImportModel::rowCount(const QModelIndex& parent) const {
    if (!parent.isValid()) return static_cast<int>(board_.sessions().size() + groups_.size());
    if (parent.internalId() != 0 || parent.column() > 0) return 0;
    switch (groupOf(parent)) {
        case Group::Session:
            return static_cast<int>(
                board_.sessions()[static_cast<std::size_t>(parent.row())].wearings.size());
        case Group::NoSession:
            return static_cast<int>(board_.unplaced().size());
        case Group::Skipped:
            return static_cast<int>(skipped_.size());
        case Group::Unread:
            return static_cast<int>(source_->unread.size());
    }
    return 0;
}

int ImportModel::columnCount(const QModelIndex&) const {
    return columns;
}

// --- words -------------------------------------------------------------------------------------------------

QString ImportModel::sessionText(const BoardSession& session, int column) const {
    switch (column) {
        case What:
            return words(session.is.name);
        case Role:
            return words(session.is.activity);
        case Device:
            return words(session.is.wearer);
        case When:
            for (const auto& wearing : session.wearings) {
                const auto span = spanOf(wearing.is, *source_);
                if (!span || wearing.isLeftOut) continue;
                const auto clock = source_->files[wearing.is.recordings.front().file].recording().clock;
                if (clock != recording::ClockBasis::None) return whenWords(*span, clock);
            }
            return {};
        case State:
            if (session.isLeftOut) return tr("left out");
            return session.is.joins ? tr("joins a stored session") : tr("new session");
        default:
            return {};
    }
}

QString ImportModel::wearingText(const BoardWearing& wearing, int column) const {
    const auto& is = wearing.is;
    switch (column) {
        case What:
            return filesOf(is, *source_);
        case Role:
            return roleWord(is.role);
        case Device:
            return words(is.device);
        case Unit:
            return words(is.facts.unit);
        case Firmware:
            return words(is.facts.firmware);
        case Position:
            return words(is.facts.position);
        case When:
            if (const auto span = spanOf(is, *source_))
                return whenWords(*span, source_->files[is.recordings.front().file].recording().clock);
            return {};
        case Samples:
            return is.recordings.empty() ? QString{} : padded(countText(samplesOf(is, *source_)));
        case State:
            break;
        default:
            return {};
    }
    if (wearing.isLeftOut) return tr("left out");
    if (is.outcome == WearingOutcome::Failed)
        return is.reason.empty() ? tr("failed: say why") : tr("failed: %1").arg(words(is.reason));
    const auto& verdict = source_->verdicts[is.recordings.front().file];
    if (verdict.state == FileState::PartlyNew) return tr("new part of the file");
    if (is.recordings.front().span) return tr("new, a part of the file");
    return tr("new");
}

QString ImportModel::groupText(Group group, int column) const {
    if (column != What) return {};
    switch (group) {
        case Group::NoSession:
            return tr("In no session (%1)").arg(board_.unplaced().size());
        case Group::Skipped:
            return tr("Skipped (%1)").arg(skipped_.size());
        case Group::Unread:
            return tr("Could not be read (%1)").arg(source_->unread.size());
        case Group::Session:
            break;
    }
    return {};
}

QString ImportModel::fileText(const QModelIndex& index, int column) const {
    if (const auto unread = unreadOf(index)) {
        const auto& file = source_->unread[*unread];
        if (column == What) return words(std::filesystem::path(file.path).filename().string());
        return column == State ? words(file.fault.message) : QString{};
    }
    const auto file = skipped_[static_cast<std::size_t>(index.row())];
    const auto& offer = source_->files[file];
    switch (column) {
        case What:
            return words(std::filesystem::path(offer.read().file).filename().string());
        case When:
            return offer.summary.span ? whenWords(*offer.summary.span, offer.recording().clock) : QString{};
        case Samples:
            return padded(countText(offer.trace->times.size()));
        case State:
            switch (source_->verdicts[file].state) {
                case FileState::AlreadyStored:
                    return tr("already stored");
                case FileState::InLongerExport:
                    return tr("in a longer export");
                case FileState::OfferedTwice:
                    return tr("given twice");
                default:
                    return tr("nothing to take");
            }
        default:
            return {};
    }
}

QString ImportModel::textOf(const QModelIndex& index) const {
    const auto place = placeOf(index);
    if (place && place->isSession())
        return sessionText(board_.sessions()[static_cast<std::size_t>(place->session)], index.column());
    if (place) return wearingText(board_.wearing(*place), index.column());
    if (index.internalId() == 0) return groupText(groupOf(index), index.column());
    return fileText(index, index.column());
}

QString ImportModel::reasonOf(const QModelIndex& index) const {
    const auto place = placeOf(index);
    if (place && place->isSession())
        return words(board_.sessions()[static_cast<std::size_t>(place->session)].is.because);
    if (const auto unread = unreadOf(index)) return words(sentence(source_->unread[*unread].fault));
    QStringList parts;
    if (place) parts << words(board_.wearing(*place).is.because);
    if (const auto file = fileOf(index)) {
        if (!source_->verdicts[*file].because.empty()) parts << words(source_->verdicts[*file].because);
        for (const auto& warning : source_->files[*file].recording().warnings)
            parts << tr("Warning: %1").arg(words(warning));
    }
    return parts.join(QLatin1Char('\n'));
}

bool ImportModel::isLeftOut(const QModelIndex& index) const {
    const auto place = placeOf(index);
    if (!place) return true;
    if (place->session >= 0 && board_.sessions()[static_cast<std::size_t>(place->session)].isLeftOut)
        return true;
    return place->isSession() ? false : place->session < 0 || board_.wearing(*place).isLeftOut;
}

QVariant ImportModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid()) return {};
    const bool isTop = index.internalId() == 0;
    switch (role) {
        case Qt::DisplayRole:
            return textOf(index);
        case Qt::EditRole: {
            const auto place = placeOf(index);
            if (place && !place->isSession() && index.column() == State)
                return words(board_.wearing(*place).is.reason);
            return textOf(index);
        }
        case Qt::AccessibleTextRole:
            return tr("%1: %2").arg(headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
                                    textOf(index));
        case Qt::ToolTipRole:
            return reasonOf(index);
        case Qt::FontRole:
            return isTop && index.column() == What ? QVariant{strongFont()} : QVariant{};
        case Qt::ForegroundRole:
            if (unreadOf(index) && index.column() == State) return currentPalette().warning;
            return isLeftOut(index) && !(isTop && index.column() == What)
                       ? QVariant{currentPalette().quietInk}
                       : QVariant{};
        case Qt::TextAlignmentRole:
            return index.column() == Samples ? QVariant{int(Qt::AlignRight | Qt::AlignVCenter)} : QVariant{};
        default:
            return {};
    }
}

QVariant ImportModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal) return {};
    if (role == Qt::TextAlignmentRole)
        return section == Samples ? int(Qt::AlignRight | Qt::AlignVCenter)
                                  : int(Qt::AlignLeft | Qt::AlignVCenter);
    if (role != Qt::DisplayRole) return {};
    const std::array<QString, columns> names{
        tr("Session, recording"), tr("Activity, role"), tr("Wearer, device"), tr("Unit"), tr("Firmware"),
        tr("Position"),           tr("When (UTC)"),     tr("Samples"),        tr("State")};
    return names[static_cast<std::size_t>(section)];
}

Qt::ItemFlags ImportModel::flags(const QModelIndex& index) const {
    if (!index.isValid()) return Qt::NoItemFlags;
    const Qt::ItemFlags plain = Qt::ItemIsEnabled | Qt::ItemIsSelectable;
    const auto place = placeOf(index);
    if (!place) return plain;
    const int column = index.column();
    if (place->isSession()) {
        // What a stored session is called is changed in the library, not by an import.
        const bool isStored =
            board_.sessions()[static_cast<std::size_t>(place->session)].is.joins.has_value();
        return !isStored && column <= Device ? plain | Qt::ItemIsEditable : plain;
    }
    const bool isFailed = board_.wearing(*place).is.outcome == WearingOutcome::Failed;
    const bool isEditable = (column >= Role && column <= Position) || (column == State && isFailed);
    return isEditable ? plain | Qt::ItemIsEditable : plain;
}

bool ImportModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    const auto place = placeOf(index);
    if (role != Qt::EditRole || !place || !(flags(index) & Qt::ItemIsEditable)) return false;
    const QString text = value.toString().trimmed();
    if (text == data(index, Qt::EditRole).toString()) return true;
    auto next = board_;
    if (place->isSession()) {
        auto& session = next.session(place->session).is;
        (index.column() == What   ? session.name
         : index.column() == Role ? session.activity
                                  : session.wearer) = text.toStdString();
    } else {
        auto& wearing = next.wearing(*place).is;
        if (index.column() == Role)
            wearing.role = text == roleWord(library::Role::Reference) ? library::Role::Reference
                           : text == roleWord(library::Role::Context) ? library::Role::Context
                                                                      : library::Role::Test;
        else if (index.column() == Device)
            wearing.device = text.toStdString();
        else if (index.column() == State)
            wearing.reason = text.toStdString();
        else if (auto* fact = factOf(wearing.facts, index.column()))
            *fact = text.toStdString();
    }
    before_.push_back(std::move(board_));
    after_.clear();
    board_ = std::move(next);
    emit dataChanged(index.siblingAtColumn(0), index.siblingAtColumn(columns - 1));
    emit corrected();
    return true;
}

QStringList ImportModel::knownUnits(const std::string& device, std::string WearingFacts::*fact) const {
    std::set<QString> all;
    for (const auto& session : source_->knowledge.sessions)
        for (const auto& wearing : session.wearings)
            if (wearing.device == device) all.insert(words(wearing.facts.*fact));
    for (const auto& session : board_.sessions())
        for (const auto& wearing : session.wearings)
            if (wearing.is.device == device) all.insert(words(wearing.is.facts.*fact));
    return sorted(all);
}

QStringList ImportModel::choices(const QModelIndex& index) const {
    const auto place = placeOf(index);
    if (!place) return {};
    const auto& knowledge = source_->knowledge;
    std::set<QString> all;
    if (place->isSession()) {
        if (index.column() == What) return {};
        all = setOf(index.column() == Role ? knowledge.activities : knowledge.wearers);
        for (const auto& session : board_.sessions())
            all.insert(words(index.column() == Role ? session.is.activity : session.is.wearer));
        return sorted(all);
    }
    const auto& device = board_.wearing(*place).is.device;
    switch (index.column()) {
        case Role:
            return {roleWord(library::Role::Reference), roleWord(library::Role::Test),
                    roleWord(library::Role::Context)};
        case Device:
            all = setOf(knowledge.devices);
            for (const auto& session : board_.sessions())
                for (const auto& wearing : session.wearings)
                    all.insert(words(wearing.is.device));
            return sorted(all);
        case Unit:
            return knownUnits(device, &WearingFacts::unit);
        case Firmware:
            return knownUnits(device, &WearingFacts::firmware);
        case Position: {
            auto known = knownUnits(device, &WearingFacts::position);
            for (const auto& usual :
                 {tr("wrist"), tr("upper arm"), tr("forearm"), tr("chest"), tr("finger"), tr("ear")})
                if (!known.contains(usual)) known << usual;
            return known;
        }
        default:
            return {};
    }
}

}  // namespace beatwitness::app
