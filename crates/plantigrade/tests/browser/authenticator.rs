//! A passkey device in software: the virtual authenticator of the browser (W3C Web Authentication, section 11).

use crate::tab::Tab;
use chromiumoxide::cdp::browser_protocol::web_authn::{
    AddCredentialParams, AddVirtualAuthenticatorParams, AuthenticatorId, AuthenticatorProtocol,
    AuthenticatorTransport, ClearCredentialsParams, Credential, EnableParams, GetCredentialsParams,
    SetUserVerifiedParams, VirtualAuthenticatorOptions,
};

/// A virtual authenticator of a tab: one that is built in, keeps its keys and verifies its user.
pub struct VirtualAuthenticator {
    id: AuthenticatorId,
}

impl VirtualAuthenticator {
    pub async fn of(tab: &Tab) -> Self {
        tab.page.execute(EnableParams::default()).await.unwrap();
        let mut options =
            VirtualAuthenticatorOptions::new(AuthenticatorProtocol::Ctap2, AuthenticatorTransport::Internal);
        options.has_resident_key = Some(true);
        options.has_user_verification = Some(true);
        options.is_user_verified = Some(true);
        options.automatic_presence_simulation = Some(true);
        let added = tab.page.execute(AddVirtualAuthenticatorParams::new(options)).await.unwrap();
        Self { id: added.result.authenticator_id.clone() }
    }

    /// Whether it recognises its user from now on.
    pub async fn verifies(&self, tab: &Tab, verified: bool) {
        tab.page.execute(SetUserVerifiedParams::new(self.id.clone(), verified)).await.unwrap();
    }

    /// Its keys.
    pub async fn credentials(&self, tab: &Tab) -> Vec<Credential> {
        tab.page.execute(GetCredentialsParams::new(self.id.clone())).await.unwrap().result.credentials.clone()
    }

    /// Has these keys in place of its own, as a copy of the device would.
    pub async fn becomes(&self, tab: &Tab, credentials: Vec<Credential>) {
        tab.page.execute(ClearCredentialsParams::new(self.id.clone())).await.unwrap();
        for credential in credentials {
            tab.page.execute(AddCredentialParams::new(self.id.clone(), credential)).await.unwrap();
        }
    }
}
