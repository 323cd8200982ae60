// SPDX-License-Identifier: Apache-2.0
#include "src/report/content_tree.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmsr/dsrdoc.h>

#include "perisclera/dicom/part10.h"
#include "perisclera/dicom/uid.h"
#include "perisclera/report/wording.h"
#include "src/report/private_codes.h"

namespace perisclera::report {

namespace {

using Types = DSRTypes;

OFString text_of(std::string_view text) { return OFString(text.data(), text.size()); }
DSRCodedEntryValue entry(const Code& code) { return {text_of(code.value), text_of(code.scheme), text_of(code.meaning)}; }

Types::E_RelationshipType dicom_relation(Relation relation) {
    switch (relation) {
        case Relation::contains: return Types::RT_contains;
        case Relation::concept_modifier: return Types::RT_hasConceptMod;
        case Relation::observation_context: return Types::RT_hasObsContext;
        case Relation::acquisition_context: return Types::RT_hasAcqContext;
        case Relation::properties: return Types::RT_hasProperties;
        case Relation::inferred_from: return Types::RT_inferredFrom;
    }
    return Types::RT_invalid;
}

}  // namespace

struct ContentTree::Document {
    explicit Document(Types::E_DocumentType type) : content(type) {}
    DSRDocument content;
    std::string fault;   ///< the first

    DSRDocumentTree& tree() { return content.getTree(); }
    void check(const OFCondition& status, const std::string& about) {
        if (status.bad() && fault.empty()) fault = about + ": " + status.text();
    }
};

ContentTree::ContentTree(Kind kind, const Code& title)
    : document_(std::make_unique<Document>(kind == Kind::measurement_report ? Types::DT_Comprehensive3DSR : Types::DT_KeyObjectSelectionDocument)) {
    document_->content.setSpecificCharacterSetType(Types::CS_UTF8);
    document_->tree().addContentItem(Types::RT_isRoot, Types::VT_Container);
    auto& root = document_->tree().getCurrentContentItem();
    document_->check(root.setConceptName(entry(title)), "title");
    document_->check(root.setTemplateIdentification(kind == Kind::measurement_report ? "1500" : "2010", "DCMR"), "template");
    if (kind != Kind::measurement_report) return;
    auto& schemes = document_->content.getCodingSchemeIdentification();
    document_->check(schemes.addItem(private_scheme), "coding scheme");
    document_->check(schemes.setCodingSchemeUID(uid_from(std::string("coding scheme ") + private_scheme).c_str()), "coding scheme");
    document_->check(schemes.setCodingSchemeName(private_scheme_name), "coding scheme");
}

ContentTree::~ContentTree() = default;

bool ContentTree::add(Relation relation, int value_type, const Code* about) {
    const std::string what(about ? about->meaning : "image");
    if (document_->tree().addContentItem(dicom_relation(relation), static_cast<Types::E_ValueType>(value_type), Types::AM_belowCurrent) == 0) {
        document_->check(EC_IllegalCall, what);
        return false;
    }
    if (about) document_->check(document_->tree().getCurrentContentItem().setConceptName(entry(*about)), what);
    return true;
}

void ContentTree::finish(const Children& children) {
    if (children) children();
    document_->tree().goUp();
}

void ContentTree::container(Relation relation, const Code& about, const Children& children, const char* template_id) {
    if (!add(relation, Types::VT_Container, &about)) return;
    if (template_id) document_->check(document_->tree().getCurrentContentItem().setTemplateIdentification(template_id, "DCMR"), template_id);
    finish(children);
}

void ContentTree::code(Relation relation, const Code& about, const Code& value, const Children& children) {
    if (!add(relation, Types::VT_Code, &about)) return;
    document_->check(document_->tree().getCurrentContentItem().setCodeValue(entry(value)), std::string(value.meaning));
    finish(children);
}

void ContentTree::text(Relation relation, const Code& about, const std::string& words) {
    if (!add(relation, Types::VT_Text, &about)) return;
    document_->check(document_->tree().getCurrentContentItem().setStringValue(clean_text(words).c_str(), OFFalse), std::string(about.meaning));
    finish({});
}

void ContentTree::uid(Relation relation, const Code& about, const std::string& value) {
    if (!add(relation, Types::VT_UIDRef, &about)) return;
    document_->check(document_->tree().getCurrentContentItem().setStringValue(value.c_str()), std::string(about.meaning));
    finish({});
}

void ContentTree::number(Relation relation, const Code& about, double value, const Code& unit, const Children& children) {
    if (!add(relation, Types::VT_Num, &about)) return;
    document_->check(document_->tree().getCurrentContentItem().setNumericValue(DSRNumericMeasurementValue(decimal_string(value).c_str(), entry(unit))), std::string(about.meaning));
    finish(children);
}

void ContentTree::no_number(Relation relation, const Code& about, const Code& qualifier, const Children& children) {
    if (!add(relation, Types::VT_Num, &about)) return;
    document_->check(document_->tree().getCurrentContentItem().setNumericValue(DSRNumericMeasurementValue(entry(qualifier))), std::string(about.meaning));
    finish(children);
}

void ContentTree::image(Relation relation, const Code* about, const InstanceReference& reference, ImagePart part) {
    if (!add(relation, Types::VT_Image, about)) return;
    DSRImageReferenceValue value(reference.sop_class_uid.c_str(), reference.sop_instance_uid.c_str());
    if (part.frame > 0) value.getFrameList().addItem(part.frame);
    if (part.segment > 0) value.getSegmentList().addItem(static_cast<Uint16>(part.segment));
    document_->check(document_->tree().getCurrentContentItem().setImageReference(value), "image");
    finish({});
}

void ContentTree::evidence(const InstanceReference& r, bool same_study) {
    auto& list = same_study ? document_->content.getCurrentRequestedProcedureEvidence() : document_->content.getPertinentOtherEvidence();
    document_->check(list.addItem(r.study_uid.c_str(), r.series_uid.c_str(), r.sop_class_uid.c_str(), r.sop_instance_uid.c_str()), "evidence");
}

Result<std::string> ContentTree::bytes(const StudyFiling& study, const FiledSeries& series, const FiledInstance& instance, const Moment& now) {
    DSRDocument& content = document_->content;
    if (content.getDocumentType() == Types::DT_Comprehensive3DSR) document_->check(content.completeDocument(), "completion");
    DcmDataset data_set;
    document_->check(content.write(data_set), "document");
    if (!document_->fault.empty())
        return Error{ErrorCode::internal_fault, "structured document could not be encoded: " + document_->fault, "DICOM writer", "report this as a defect"};
    put_common_modules(data_set, study, series, instance, now);
    return part10_bytes(data_set);
}

}  // namespace perisclera::report
